"""The shots of a test strip: one field of an arrangement or of its setup varied, all that is alike shared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gallery.frames.shots import AS_BUILT, shot_of
from gallery.inputs import changed
from render.description.scene import refinished
from render.frame import Shot
from render.readings.dimming import dimmed
from scenes.arrangement.arrangement import Arrangement, CameraModel, RoomModel
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError, nearest
from scenes.setups.placed import AS_PLACED, PlacedSetup, place_setup, put_up
from scenes.setups.setup import Setup, load_setup

from .field import TOPCOAT, Field, Value, put, varied
from .lamp_fields import STANDING, relit


@dataclass(frozen=True, eq=False)
class Strip:
    """The shots of a strip, one for each value of its field, and the shot of the arrangement as it is."""

    field: Field
    base: Shot
    shots: tuple[Shot, ...]


@dataclass(frozen=True, eq=False)
class Asked:
    """What a strip is asked to be taken of."""

    arrangement: ResolvedArrangement
    setup: str
    size: tuple[int, int] | None = None
    detail: str | None = None

    @property
    def aspect(self) -> float | None:
        """Width over height, where a size is said."""
        return self.size[0] / self.size[1] if self.size else None

    def shot(self, arrangement: ResolvedArrangement, placed: PlacedSetup, finish: str = AS_BUILT) -> Shot:
        """Return the shot of a setup as it was put up."""
        return shot_of(arrangement, placed, finish, self.size, self.detail)


def strip_of(asked: Asked, field: Field) -> Strip:
    """Return the shots of a strip.

    Raises
    ------
    InputError
        For a field or a value that there is none of, or a field that changes nothing in the setup.
    """
    asked = _with_wash(asked, field)
    placed = place_setup(asked.setup, asked.arrangement, asked.aspect)
    base = asked.shot(asked.arrangement, placed)
    if field.steps[0] == "lamps":
        shots = _lamps_varied(asked, base, field)
    elif (card := _setups_card(asked, placed, field)) is not None:
        put_up_anew = _setups_varied(asked, placed.name, "cards", card, field)
        shots = [asked.shot(asked.arrangement, other) for other in put_up_anew]
    else:
        shots = [_shot_at(asked, base, field, value) for value in field.values]
    if field.setting is None and len({_depicted(shot) for shot in shots}) == 1:
        raise InputError(f"{field.name} changes nothing in setup '{placed.name}'")
    return Strip(field, base, tuple(shots))


def with_dimmers(strip: Strip, full_lux: Sequence[float]) -> Strip:
    """Return the strip with the dimmers that its setup's ratios ask for solved once, of the arrangement as it is.

    `full_lux` is what each lamp gives the hero there undimmed. A ratio that is itself varied is left to each shot.
    """
    declared = strip.base.setup
    solved = dimmed(declared, full_lux)
    said = solved.lacks[len(declared.lacks) :]
    ratios = [lamp.stops_under_key for lamp in declared.lamps]

    def with_solved(shot: Shot) -> Shot:
        lamps = tuple(
            replace(lamp, dimmer=known.dimmer, stops_under_key=None)
            if ratio is not None and lamp.stops_under_key == ratio
            else lamp
            for lamp, known, ratio in zip(shot.setup.lamps, solved.lamps, ratios, strict=True)
        )
        return replace(shot, setup=replace(shot.setup, lamps=lamps, lacks=(*shot.setup.lacks, *said)))

    return replace(strip, base=with_solved(strip.base), shots=tuple(map(with_solved, strip.shots)))


def _with_wash(asked: Asked, field: Field) -> Asked:
    """Return what is asked with a wash, where one is varied that is not declared: recesses are measured once."""
    declared = asked.arrangement.declared
    if field.steps[:2] != ("subject", "wash") or declared.subject is None or declared.subject.wash is not None:
        return asked
    return replace(asked, arrangement=changed(asked.arrangement, varied(declared, field, field.values[0])))


def _shot_at(asked: Asked, base: Shot, field: Field, value: Value) -> Shot:
    """Return the shot with a key of the arrangement at a value, put up anew only where something stands elsewhere."""
    arrangement = changed(asked.arrangement, varied(asked.arrangement.declared, field, value))
    finish = str(value) if field.steps == TOPCOAT else AS_BUILT
    declared, before = arrangement.declared, asked.arrangement.declared
    if arrangement.subject is not asked.arrangement.subject or _standing(declared) != _standing(before):
        return asked.shot(arrangement, place_setup(asked.setup, arrangement, asked.aspect), finish)
    geometry = base.geometry
    if declared.subject != before.subject:
        geometry = refinished(geometry, base.setup, arrangement.finishes)
    return replace(base, finish=finish, geometry=geometry, camera=declared.camera, room=arrangement.room)


def _standing(arrangement: Arrangement) -> Arrangement:
    """Return an arrangement without what leaves everything where it stands: finishes, exposure, the room's light."""
    camera = arrangement.camera.model_copy(
        update={key: CameraModel.model_fields[key].default for key in ("kind", "iso", "shutter_s", "f_number")}
        | {"white_balance": "auto"}
    )
    subject = arrangement.subject and arrangement.subject.model_copy(
        update={"topcoat": None, "no_topcoat": (), "parts": (), "wash": None}
    )
    return arrangement.model_copy(update={"camera": camera, "subject": subject, "room": RoomModel(), "title": None})


def _lamps_varied(asked: Asked, base: Shot, field: Field) -> list[Shot]:
    """Return the shots with a lamp of the setup changed, in its place, or moved as the setup counts places."""
    lamps = base.setup.lamps
    known = [lamp.role for lamp in lamps] + [lamp.name for lamp in lamps]
    if len(field.steps) < 3 or field.steps[1] not in known:
        who = field.steps[1] if len(field.steps) > 1 else ""
        raise InputError(
            f"'{field.name}': name a lamp of {base.setup.name} by its role or its name, and what of it is varied, as "
            f"lamps.{lamps[0].role}.dimmer; '{who}' is none{nearest(who, known)}"
        )
    number = known.index(field.steps[1]) % len(lamps)
    if field.steps[2] not in STANDING:
        relit_lamps = [relit(lamps[number], field, value, asked.arrangement.folder) for value in field.values]
        rows = [(*lamps[:number], lamp, *lamps[number + 1 :]) for lamp in relit_lamps]
        return [replace(base, setup=replace(base.setup, lamps=row)) for row in rows]
    if base.setup.name == AS_PLACED:
        raise InputError(f"'{field.name}': lamps as placed stand where at_cm says; a named setup moves its own")
    moved = _setups_varied(asked, base.setup.name, "lamps", number, field)
    return [replace(base, setup=replace(base.setup, lamps=other.lamps, lacks=other.lacks)) for other in moved]


def _setups_card(asked: Asked, placed: PlacedSetup, field: Field) -> int | None:
    """Return which of the setup's own cards a field is of; None where it is of no card or of the arrangement's."""
    if field.steps[0] != "cards":
        return None
    roles = [] if placed.name == AS_PLACED else [card.role for card in load_setup(asked.setup).cards]
    known = [*roles, *(card.name for card in asked.arrangement.declared.cards)]
    who = field.steps[1] if len(field.steps) > 2 else ""
    if who not in known:
        there = nearest(who, known) if known else ": it has none"
        raise InputError(f"'{field.name}': name a card of {placed.name} and what of it is varied{there}")
    return roles.index(who) if who in roles else None


def _setups_varied(asked: Asked, name: str, kind: str, number: int, field: Field) -> list[PlacedSetup]:
    """Return the setup put up with one of its lamps or cards standing elsewhere."""
    declared = load_setup(asked.setup)
    placed = []
    for value in field.values:
        data = declared.model_dump(exclude_unset=True)
        put(data[kind][number], field.steps[2:], value, field.name)
        placed.append(put_up(fill_model(data, Setup, "strip"), name, asked.arrangement, asked.aspect))
    return placed


def _depicted(shot: Shot) -> tuple[object, ...]:
    radiance = tuple(light.radiance.tobytes() for light in shot.lights)
    levels = tuple((lamp.dimmer, lamp.stops_under_key) for lamp in shot.setup.lamps)
    return shot.geometry.fingerprint, shot.emitters, radiance, levels, shot.camera.model_dump_json()
