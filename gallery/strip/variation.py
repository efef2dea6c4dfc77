"""The shots of a test strip: one field of an arrangement or of its setup varied, geometry shared."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gallery.frames.shots import AS_BUILT, shot_of
from gallery.inputs import reopened
from render.description.scene import with_finishes
from render.shot import Shot
from scenes.arrangement.arrangement import Arrangement, CameraModel, RoomModel
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError, nearest
from scenes.setups.place_setup import place_loaded_setup, place_setup
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.setups.setup import Setup, load_setup

from .arrangement_fields import set_value, vary
from .field import TOPCOAT, Field, Value
from .lamp_fields import PLACEMENT_KEYS, vary_lamp

DEVELOPMENT_KEYS = (
    "kind", "focal_mm", "f_number", "exposure", "stops", "support", "shutter_s", "iso", "white_balance"
)  # fmt: skip
"""Of the camera, what moves nothing."""


@dataclass(frozen=True, eq=False)
class Strip:
    """The shots of a strip, one for each value of its field, and the shot of the arrangement unchanged."""

    field: Field
    base: Shot
    shots: tuple[Shot, ...]


@dataclass(frozen=True, eq=False)
class StripRequest:
    """The arrangement and the setup that a strip is taken of, the size of its frames and the parts in close-up."""

    arrangement: ResolvedArrangement
    setup: str
    size: tuple[int, int] | None = None
    detail: str | None = None

    @property
    def aspect(self) -> float | None:
        """Width over height, where a size is given."""
        return self.size[0] / self.size[1] if self.size else None

    def shot(self, arrangement: ResolvedArrangement, placed: PlacedSetup, finish: str = AS_BUILT) -> Shot:
        """Return the shot of a placed setup."""
        return shot_of(arrangement, placed, finish, self.size, self.detail)


def strip_of(request: StripRequest, field: Field) -> Strip:
    """Return the shots of a strip.

    Raises
    ------
    InputError
        For an unknown field, a value that it does not take, or a field that changes nothing in the setup.
    """
    request = _with_wash(request, field)
    placed = place_setup(request.setup, request.arrangement, request.aspect)
    base = request.shot(request.arrangement, placed)
    if field.steps[0] == "lamps":
        shots = _vary_lamp_of(request, base, field)
    elif (card := _setup_card(request, placed, field)) is not None:
        variants = _vary_setup(request, placed.name, "cards", card, field)
        shots = [request.shot(request.arrangement, other) for other in variants]
    else:
        shots = [_shot_at(request, base, field, value) for value in field.values]
    if field.setting is None and len({shot.fingerprint for shot in shots}) == 1:
        raise InputError(f"{field.name} changes nothing in setup '{placed.name}'")
    return Strip(field, base, tuple(shots))


def _with_wash(request: StripRequest, field: Field) -> StripRequest:
    """Return the request with a wash declared, where one is varied that was not: recesses are measured once."""
    declared = request.arrangement.declared
    if field.steps[:2] != ("subject", "wash") or declared.subject is None or declared.subject.wash is not None:
        return request
    return replace(request, arrangement=reopened(request.arrangement, vary(declared, field, field.values[0])))


def _shot_at(request: StripRequest, base: Shot, field: Field, value: Value) -> Shot:
    """Return the shot with a key of the arrangement at a value; the setup is placed anew only where something moves."""
    arrangement = reopened(request.arrangement, vary(request.arrangement.declared, field, value))
    finish = str(value) if field.steps == TOPCOAT else AS_BUILT
    declared, before = arrangement.declared, request.arrangement.declared
    if arrangement.subject is not request.arrangement.subject or _placement(declared) != _placement(before):
        return request.shot(arrangement, place_setup(request.setup, arrangement, request.aspect), finish)
    geometry = base.geometry
    if declared.subject != before.subject:
        geometry = with_finishes(geometry, base.setup, arrangement.finishes)
    return replace(base, finish=finish, geometry=geometry, camera=declared.camera, room=arrangement.room)


def _placement(arrangement: Arrangement) -> Arrangement:
    """Return an arrangement without the keys that move nothing: finishes, exposure, the room's light."""
    camera = arrangement.camera.model_copy(
        update={key: CameraModel.model_fields[key].default for key in DEVELOPMENT_KEYS}
    )
    subject = arrangement.subject and arrangement.subject.model_copy(
        update={"topcoat": None, "no_topcoat": (), "parts": (), "wash": None}
    )
    room = RoomModel(clear_cm=arrangement.room.clear_cm)
    return arrangement.model_copy(update={"camera": camera, "subject": subject, "room": room, "title": None})


def _vary_lamp_of(request: StripRequest, base: Shot, field: Field) -> list[Shot]:
    """Return the shots with a lamp of the setup at each value: changed in its place, or placed by the setup anew."""
    lamps = base.setup.lamps
    known = [lamp.role for lamp in lamps] + [lamp.name for lamp in lamps]
    if len(field.steps) < 3 or field.steps[1] not in known:
        who = field.steps[1] if len(field.steps) > 1 else ""
        raise InputError(
            f"'{field.name}': name a lamp of {base.setup.name} by its role or its name, and what of it is varied, as "
            f"lamps.{lamps[0].role}.dimmer; '{who}' is none{nearest(who, known)}"
        )
    number = known.index(field.steps[1]) % len(lamps)
    if field.steps[2] not in PLACEMENT_KEYS:
        lamps_at_values = [vary_lamp(lamps[number], field, value, request.arrangement.folder) for value in field.values]
        rows = [(*lamps[:number], lamp, *lamps[number + 1 :]) for lamp in lamps_at_values]
        return [replace(base, setup=replace(base.setup, lamps=row)) for row in rows]
    if base.setup.name == AS_PLACED:
        raise InputError(f"'{field.name}': lamps as placed stand where at_cm says; a named setup moves its own")
    moved = _vary_setup(request, base.setup.name, "lamps", number, field)
    return [replace(base, setup=replace(base.setup, lamps=other.lamps, shortfalls=other.shortfalls)) for other in moved]


def _setup_card(request: StripRequest, placed: PlacedSetup, field: Field) -> int | None:
    """Return the number of the setup's card that a field varies; None for the arrangement's cards and other keys."""
    if field.steps[0] != "cards":
        return None
    roles = [] if placed.name == AS_PLACED else [card.role for card in load_setup(request.setup).cards]
    known = [*roles, *(card.name for card in request.arrangement.declared.cards)]
    who = field.steps[1] if len(field.steps) > 2 else ""
    if who not in known:
        there = nearest(who, known) if known else ": it has none"
        raise InputError(f"'{field.name}': name a card of {placed.name} and what of it is varied{there}")
    return roles.index(who) if who in roles else None


def _vary_setup(request: StripRequest, name: str, kind: str, number: int, field: Field) -> list[PlacedSetup]:
    """Return the setup placed anew with a key of one of its lamps or cards at each value."""
    declared = load_setup(request.setup)
    placed = []
    for value in field.values:
        data = declared.model_dump(exclude_unset=True)
        set_value(data[kind][number], field.steps[2:], value, field.name)
        placed.append(place_loaded_setup(fill_model(data, Setup, "strip"), name, request.arrangement, request.aspect))
    return placed
