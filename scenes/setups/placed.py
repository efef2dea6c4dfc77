"""Setups put up round a subject: each lamp and card gets its place in cm, clear of the model and out of the frame."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from materials.surface.boards import board_finish
from materials.surface.finish import Finish
from scenes.arrangement.card_model import CardModel
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import ArrangementError, InputError
from scenes.lamps.kit import LampChoice, choose_lamps
from scenes.lamps.lamp import Lamp
from scenes.stage.backdrop import Sweep, lay_sweep
from scenes.stage.viewpoint import Viewpoint, look_at, look_over_table
from scenes.subject.enclosure import is_enclosed
from scenes.subject.subject import Subject

from .collisions import TOUCH_CM, card_body, clashes, lamp_body
from .place import Place, Stage, is_hidden, off_deg, put_card, stand
from .setup import Setup, load_setup

AS_PLACED = "as-placed"
CAMERA_GAP_CM = 1.0
SAME_CM = 1e-6  # nearer to one another, two points are one
FAR_OFF_DEG = 25.0  # from which a setup no longer reads as its name
EMPTY_TABLE_CM = 18.0  # the size that stands in for a subject's where there is none


@dataclass(frozen=True)
class PlacedLamp:
    """A lamp where it stands; `dimmer` holds until `stops_under_key`, where given, has solved it.

    `hidden` says whether the subject hides it from the camera, as its setup wants it to.
    """

    role: str
    lamp: Lamp
    place: Place
    dimmer: float
    stops_under_key: float | None = None
    hidden: bool = False

    @property
    def name(self) -> str:
        """Its owner's name for it."""
        return self.lamp.name


@dataclass(frozen=True)
class PlacedSetup:
    """Everything that stands on the table for one setup, cm; `detail` names the parts that a close-up shows."""

    name: str
    reads_as: str
    subject: Subject | None
    view: Viewpoint
    sweep: Sweep | None
    backdrop: Finish
    hero_cm: tuple[float, float, float]
    lamps: tuple[PlacedLamp, ...]
    cards: tuple[CardModel, ...]
    lacks: tuple[str, ...]
    detail: str | None = None

    @property
    def size_cm(self) -> float:
        """The subject's size."""
        return self.subject.size_cm if self.subject else EMPTY_TABLE_CM


def place_setup(name: str, arrangement: ResolvedArrangement, aspect: float | None = None) -> PlacedSetup:
    """Return the setup called `name` (or in a file, or as-placed) put up round the subject of an arrangement.

    Raises
    ------
    InputError
        For an unknown setup, a sheet too short, or a lamp fixed inside the subject or below the table.
    """
    if name != AS_PLACED:
        called = Path(name).stem if name.endswith(".toml") else name.lower()
        return put_up(load_setup(name), called, arrangement, aspect)
    try:
        return _as_placed(arrangement, aspect)
    except ArrangementError as error:
        raise _named(arrangement, error) from None


def put_up(setup: Setup, name: str, arrangement: ResolvedArrangement, aspect: float | None = None) -> PlacedSetup:
    """Return a setup that is at hand put up round the subject, under a name; errors as for `place_setup`."""
    if arrangement.subject is None:
        raise InputError(f"setup '{name}' needs a subject to stand round; an empty table takes lamps with at_cm")
    try:
        return _put_up(setup, name, arrangement, arrangement.subject, aspect)
    except ArrangementError as error:
        raise _named(arrangement, error) from None


def _named(arrangement: ResolvedArrangement, error: ArrangementError) -> InputError:
    return InputError(f"{arrangement.folder.source}: {error}")


def _put_up(
    setup: Setup, name: str, arrangement: ResolvedArrangement, subject: Subject, aspect: float | None
) -> PlacedSetup:
    turn_deg = 0.0
    if setup.turn_deg:
        # who looks to one side already is turned on to that side, not back to the camera
        setup = setup.mirrored() if arrangement.faces_deg < 0 else setup
        turn_deg = setup.turn_deg - arrangement.faces_deg
    choices = choose_lamps(setup.lamps, arrangement.lamps)
    turned = subject.turned(turn_deg)
    stage = _stage(arrangement, turned, aspect, turn_deg)
    lamps = tuple(_placed(choice, stage) for choice in choices)
    return PlacedSetup(
        name=name,
        reads_as=setup.reads_as,
        subject=turned,
        view=stage.view,
        sweep=stage.sweep,
        backdrop=_backdrop(setup, arrangement),
        hero_cm=stage.hero_cm,
        lamps=lamps,
        cards=(*_boards(arrangement.declared.cards), *(put_card(card, stage) for card in setup.cards)),
        lacks=tuple(lack for choice, lamp in zip(choices, lamps, strict=True) for lack in _lacks(choice, lamp, stage)),
    )


def _lacks(choice: LampChoice, placed: PlacedLamp, stage: Stage) -> list[str]:
    """Return in words what a lamp falls short of what the setup wants."""
    lacks = [choice.lack] if choice.lack else []
    off = off_deg(choice.wanted, placed.place, stage)
    if off > FAR_OFF_DEG:
        lacks.append(
            f"needs a smaller lamp or more room: the {placed.role} stands {off:.0f} degrees off its place beside "
            f"a model of {stage.subject.size_cm:.1f} cm"
        )
    return lacks


def _placed(choice: LampChoice, stage: Stage) -> PlacedLamp:
    place = stand(choice.wanted, choice.lamp.extent_cm, stage)
    dimmer = (choice.wanted.dimmer if choice.lamp.model.dimmable else 1.0) * choice.lamp.model.dimmer
    hidden = choice.wanted.out_of_frame == "hide" and is_hidden(place, choice.lamp.extent_cm, stage)
    return PlacedLamp(choice.wanted.role, choice.lamp, place, dimmer, choice.wanted.stops_under_key, hidden)


def _backdrop(setup: Setup, arrangement: ResolvedArrangement) -> Finish:
    return board_finish(setup.backdrop.reflectance) if setup.backdrop else arrangement.declared.backdrop.finish


def _boards(cards: tuple[CardModel, ...]) -> tuple[CardModel, ...]:
    return tuple(board for card in cards for board in card.unfolded())


def _stage(arrangement: ResolvedArrangement, subject: Subject, aspect: float | None, turn_deg: float) -> Stage:
    view = look_at(subject, arrangement.declared.camera, aspect)
    _refuse_camera_inside(view, subject)
    sweep = lay_sweep(arrangement.declared.backdrop, subject.size_cm, view)
    _refuse_wall_inside(sweep, subject)
    hero = subject.aim_cm(arrangement.hero)
    return Stage(
        subject=subject,
        view=view,
        sweep=sweep,
        face_deg=arrangement.faces_deg + turn_deg,
        hero_cm=(float(hero[0]), float(hero[1]), float(hero[2])),
    )


def _refuse_camera_inside(view: Viewpoint, subject: Subject) -> None:
    nearest_cm = float(view.project(subject.surface_points(2000))[:, 2].min())
    if nearest_cm < CAMERA_GAP_CM:
        raise ArrangementError(
            f"camera.distance_cm: the camera stands {-view.at_cm[1]:.1f} cm from the centre mark, inside the subject "
            f"or against it; it would have to be {-view.at_cm[1] + CAMERA_GAP_CM - nearest_cm:.0f} cm or more"
        )


def _refuse_wall_inside(sweep: Sweep | None, subject: Subject) -> None:
    back_cm = float(subject.bounds_cm[1][1])
    if sweep is not None and sweep.wall_cm < back_cm:
        raise ArrangementError(
            f"backdrop.distance_cm = {sweep.wall_cm:g}: the wall stands inside the subject, which reaches "
            f"{back_cm:.1f} cm behind the centre mark; move the wall away"
        )


def _as_placed(arrangement: ResolvedArrangement, aspect: float | None) -> PlacedSetup:
    if not arrangement.fixed_lamps:
        raise InputError("setup 'as-placed' needs a lamp with at_cm and aim_cm in the arrangement")
    subject, declared = arrangement.subject, arrangement.declared
    if subject is not None:
        stage = _stage(arrangement, subject, aspect, 0.0)
        view, sweep, hero = stage.view, stage.sweep, stage.hero_cm
    else:
        view = look_over_table(declared.camera, aspect)
        sweep, hero = lay_sweep(declared.backdrop, EMPTY_TABLE_CM, view), (0.0, 0.0, 0.0)
    lamps = []
    for i, lamp in enumerate(arrangement.fixed_lamps):
        place = Place(lamp.model.at_cm or (0, 0, 0), lamp.model.aim_cm or (0.0, 0.0, 0.0))
        _refuse_impossible(lamp, place, subject, sweep)
        lamps.append(PlacedLamp("key" if i == 0 else f"lamp {i + 1}", lamp, place, lamp.model.dimmer))
    cards = _boards(declared.cards)
    for clash in clashes([lamp_body(lamp.lamp, lamp.place) for lamp in lamps], [card_body(card) for card in cards]):
        raise ArrangementError(clash)
    return PlacedSetup(
        AS_PLACED, "your own lamps where you put them", subject, view, sweep,
        declared.backdrop.finish, hero, tuple(lamps), cards, (),
    )  # fmt: skip


def _refuse_impossible(lamp: Lamp, place: Place, subject: Subject | None, sweep: Sweep | None) -> None:
    if math.dist(place.at_cm, place.aim_cm) < SAME_CM:
        raise ArrangementError(f"lamp '{lamp.name}': at_cm and aim_cm are the same point; aim it at something else")
    body = lamp_body(lamp, place)
    if sweep is not None and sweep.behind(body.points()) > 0:
        raise ArrangementError(
            f"lamp '{lamp.name}': at_cm = {list(place.at_cm)} puts part of it below the table or behind the "
            "backdrop; raise it or bring it nearer"
        )
    if subject is None:
        return
    points = subject.surface_points(4000).astype(float)
    if body.distance(points).min() < TOUCH_CM or is_enclosed(place.at_cm, subject):
        low, high = subject.bounds_cm
        raise ArrangementError(
            f"lamp '{lamp.name}': at_cm = {list(place.at_cm)} stands inside the subject, which reaches from "
            f"{[round(float(v), 1) for v in low]} to {[round(float(v), 1) for v in high]} cm; move it clear"
        )
