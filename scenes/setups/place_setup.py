"""Setups placed round a subject: each lamp and card at its place in cm, clear of the model and out of the frame."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from materials.surface.boards import board_finish
from materials.surface.finish import Finish
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import ArrangementError, InputError
from scenes.setups.lamp_choice import LampChoice, choose_lamps

from .facing import applied_setup, facing_deg
from .fixed_lamps import place_fixed_lamps
from .place import Stage, is_hidden
from .placed import AS_PLACED, PlacedLamp, PlacedSetup
from .placing import deviation_deg, place_board, place_card
from .setup import Setup, load_setup
from .staging import stage_of

LARGEST_DEVIATION_DEG: Final = 25.0
"""Beyond it a lamp no longer gives the light that its setup is named for."""


def place_setup(name: str, arrangement: ResolvedArrangement, aspect: float | None = None) -> PlacedSetup:
    """Return a setup by its name, from a .toml file, or as-placed, round the subject of an arrangement.

    Raises
    ------
    InputError
        For an unknown setup, a backdrop too short, or a lamp fixed inside the subject or below the table.
    """
    if name != AS_PLACED:
        title = Path(name).stem if name.endswith(".toml") else name.lower()
        return place_loaded_setup(load_setup(name), title, arrangement, aspect)
    try:
        return place_fixed_lamps(arrangement, aspect)
    except ArrangementError as error:
        raise _with_source(arrangement, error) from None


def place_loaded_setup(
    setup: Setup, name: str, arrangement: ResolvedArrangement, aspect: float | None = None
) -> PlacedSetup:
    """Return a loaded setup under a name, placed round the subject of an arrangement; errors as for `place_setup`."""
    if arrangement.model is None:
        raise InputError(f"setup '{name}' needs a subject to stand round; an empty table takes lamps with at_cm")
    try:
        return _placed_setup(setup, name, arrangement, aspect)
    except ArrangementError as error:
        raise _with_source(arrangement, error) from None


def _with_source(arrangement: ResolvedArrangement, error: ArrangementError) -> InputError:
    return InputError(f"{arrangement.folder.source}: {error}")


def _placed_setup(setup: Setup, name: str, arrangement: ResolvedArrangement, aspect: float | None) -> PlacedSetup:
    setup = applied_setup(setup, arrangement.kind, arrangement.faces_deg)
    choices = choose_lamps(setup.lamps, arrangement.lamps)
    stage = stage_of(arrangement, facing_deg(setup, arrangement.faces_deg), aspect)
    lamps = tuple(_placed_lamp(choice, stage) for choice in choices)
    return PlacedSetup(
        name=name,
        reads_as=setup.reads_as,
        subject=stage.subject,
        view=stage.view,
        sweep=stage.sweep,
        backdrop=_backdrop(setup, arrangement),
        hero_cm=stage.hero_cm,
        lamps=lamps,
        cards=(*arrangement.placed_cards, *(place_card(card, stage) for card in setup.cards)),
        shortfalls=tuple(
            shortfall
            for choice, lamp in zip(choices, lamps, strict=True)
            for shortfall in _shortfalls(choice, lamp, stage)
        ),
        facing_deg=stage.facing_deg,
        backdrop_board=(setup.backdrop or arrangement.declared.backdrop).board,
        kind=stage.kind,
        meter=setup.meter,
        exposure_stops=setup.exposure_stops,
    )


def _shortfalls(choice: LampChoice, placed: PlacedLamp, stage: Stage) -> list[str]:
    """Return sentences on how a lamp falls short of what the setup asks for."""
    shortfalls = [choice.shortfall] if choice.shortfall else []
    deviation = deviation_deg(choice.wanted, placed.place, stage)
    if deviation > LARGEST_DEVIATION_DEG:
        shortfalls.append(
            f"needs a smaller lamp or more room: the {placed.role} stands {deviation:.0f} degrees off its place beside "
            f"a model of {stage.subject.size_cm:.1f} cm"
        )
    return shortfalls


def _placed_lamp(choice: LampChoice, stage: Stage) -> PlacedLamp:
    place = place_board(choice.wanted, choice.lamp.extent_cm, stage)
    dimmer = (choice.wanted.dimmer if choice.lamp.model.dimmable else 1.0) * choice.lamp.model.dimmer
    hidden = choice.wanted.out_of_frame == "hide" and is_hidden(place, choice.lamp.extent_cm, stage)
    wanted = choice.wanted
    return PlacedLamp(wanted.role, choice.lamp, place, dimmer, wanted.stops_under_key, hidden, wanted.sheet_over_white)


def _backdrop(setup: Setup, arrangement: ResolvedArrangement) -> Finish:
    return board_finish(setup.backdrop.reflectance) if setup.backdrop else arrangement.declared.backdrop.finish
