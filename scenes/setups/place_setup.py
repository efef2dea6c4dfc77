"""Setups placed round a subject: each lamp and card at its place in cm, clear of the model and out of the frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import ArrangementError, InputError
from scenes.lifelong_cache import cached_for_life

from .backdrop_choice import BackdropChoice, choose_backdrop
from .card_choice import choose_cards
from .facing import applied_setup, facing_deg
from .fixed_lamps import place_fixed_lamps
from .place import Stage
from .placed import AS_PLACED, PlacedLamp, PlacedSetup
from .placement.cards import place_cards
from .placement.lamps import place_lamps
from .placement.surroundings import surroundings_of
from .setup import Setup, load_setup
from .staging import stage_of


@dataclass(frozen=True)
class LeftOut:
    """A setup that has no room for any lamp, and why, in a sentence that begins after its name."""

    setup: str
    why: str

    @property
    def sentence(self) -> str:
        """That it is left out, and why."""
        return f"{self.setup} is left out: it {self.why}"


class NoRoomError(InputError):
    """A setup was asked for that has no room for any lamp."""

    def __init__(self, source: str, left_out: LeftOut) -> None:
        """Of an arrangement's file."""
        super().__init__(f"{source}: setup '{left_out.setup}' {left_out.why}")
        self.left_out = left_out


def place_setups(
    names: Sequence[str], arrangement: ResolvedArrangement, aspect: float | None = None
) -> tuple[list[PlacedSetup], list[LeftOut]]:
    """Return the setups that have room and those that have none; errors as for `place_setup` else."""
    placed, left_out = [], []
    for name in names:
        try:
            placed.append(place_setup(name, arrangement, aspect))
        except NoRoomError as error:
            left_out.append(error.left_out)
    return placed, left_out


def place_setup(name: str, arrangement: ResolvedArrangement, aspect: float | None = None) -> PlacedSetup:
    """Return a setup by its name, from a .toml file, or as-placed, round the subject of an arrangement.

    Raises
    ------
    NoRoomError
        Where none of its lamps has room.
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
    stage = _stage(arrangement, facing_deg(setup, arrangement.faces_deg), aspect)
    fitted = _fitted(setup, name, arrangement, stage)
    return PlacedSetup(
        name=name,
        reads_as=setup.reads_as,
        look_for=setup.look_for or (setup.reads_as,),
        subject=stage.subject,
        view=stage.view,
        sweep=stage.sweep,
        board=fitted.backdrop.board,
        hero_cm=stage.hero_cm,
        lamps=fitted.lamps,
        cards=fitted.cards,
        shortfalls=fitted.lacks,
        facing_deg=stage.facing_deg,
        kind=stage.kind,
        meter=setup.meter,
        exposure_stops=setup.exposure_stops,
    )


_stage = cached_for_life(stage_of)
"""Setups that turn the subject alike share its points and its silhouette."""


@dataclass(frozen=True)
class _Fitted:
    """Lamps, cards and backdrop of a setup or of one of its alternatives, and what they lack."""

    lamps: tuple[PlacedLamp, ...]
    cards: tuple[PlacedCard, ...]
    backdrop: BackdropChoice
    lacks: tuple[str, ...]


def _fitted(setup: Setup, name: str, arrangement: ResolvedArrangement, stage: Stage) -> _Fitted:
    """Return the first of a setup and its alternatives that lacks nothing, else that with the fewest lacks."""
    best: _Fitted | None = None
    refused: list[str] = []
    for variant in setup.variants():
        fitted = _fit(variant, arrangement, stage)
        refused += [] if fitted.lamps else [fitted.lacks[-1]]
        if fitted.lamps and (best is None or len(fitted.lacks) < len(best.lacks)):
            best = fitted
        if fitted.lamps and not fitted.lacks:
            break
    if best is None:
        raise NoRoomError(arrangement.folder.source, LeftOut(name, refused[0]))
    return best


def _fit(setup: Setup, arrangement: ResolvedArrangement, stage: Stage) -> _Fitted:
    owned, size_cm = arrangement.owned_cards, stage.subject.size_cm
    boards = setup.backdrop.reflectance if setup.backdrop else ()
    backdrop = choose_backdrop(boards, arrangement.declared.backdrop, size_cm, stage.sweep, owned)
    choices = choose_cards(setup.cards, size_cm, owned, [backdrop.owned] if backdrop.owned else [])
    around = surroundings_of(stage, arrangement.declared.room, arrangement.placed_cards)
    lit = place_lamps(setup.lamps, arrangement.lamps, around)
    if not lit.lamps:
        return _Fitted((), (), backdrop, lit.lacks)
    cards, card_lacks = place_cards(choices, lit.lamps, around)
    lacks = (*lit.lacks, *([backdrop.shortfall] if backdrop.shortfall else []), *card_lacks)
    return _Fitted(lit.lamps, (*arrangement.placed_cards, *cards), backdrop, lacks)
