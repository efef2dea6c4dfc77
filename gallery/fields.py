"""One quantity of an arrangement or a setup by its name, varied: FIELD=V1,V2,... ."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from materials.named import named_finishes
from render.camera import Exposure
from scenes.arrangement import Arrangement
from scenes.errors import InputError, nearest
from scenes.placing import PlacedSetup
from scenes.reading import fill_model
from scenes.setups import SetupLamp, load_setup

from .inputs import Opened

EXPOSURE = ("f_number", "iso", "shutter_s")
PLACES = ("round_deg", "rise_deg", "distance", "tilt_deg")
LAMP_KEYS = ("dimmer", "kelvin", "lumens", *PLACES)
SHARED = ("hero", "topcoat", "mask", "parts", "wash.strength", "wash.colour", "wash.match")
"""Keys of [subject] that leave the mesh as it is."""


@dataclass(frozen=True)
class Field:
    """What is varied: a dotted name, and its values as they were written."""

    name: str
    values: tuple[str, ...]

    @property
    def keys(self) -> list[str]:
        """The name's steps."""
        return self.name.split(".")

    @property
    def of_exposure(self) -> bool:
        """Whether it is a dial of the exposure itself."""
        return self.keys[0] == "camera" and self.keys[-1] in EXPOSURE

    @property
    def of_white(self) -> bool:
        """Whether it is the white balance."""
        return self.name == "camera.white_balance"

    @property
    def of_finish(self) -> bool:
        """Whether it is the topcoat."""
        return self.name in ("finish", "finish.gloss", "subject.topcoat")


def parsed(said: str) -> Field:
    """Return the field of `lamps.key.kelvin=3000,4000`.

    Raises
    ------
    InputError
        Where there is no name, or no value.
    """
    name, equals, values = said.partition("=")
    found = tuple(value.strip() for value in values.split(",") if value.strip())
    if not (equals and name.strip() and found):
        raise InputError(f"'{said}': write FIELD=VALUE,VALUE as finish=matt,satin,gloss or lamps.key.kelvin=3000,5000")
    return Field(name.strip(), found)


def varied(opened: Opened, setup: str, field: Field, aspect: float | None) -> list[tuple[Opened, PlacedSetup]]:
    """Return what is opened and put up for each value of a field; for dials of the exposure, the same each time.

    Raises
    ------
    InputError
        For a field or a value that there is none of.
    """
    if field.of_exposure:
        return [(opened, opened.place(setup, aspect))] * len(field.values)
    if field.keys[0] == "lamps":
        return [(opened, placed) for placed in _lamps_varied(opened, setup, field, aspect)]
    placed = None
    found = []
    for value in field.values:
        changed = _changed(opened, field, value)
        if placed is None or not (field.of_finish or field.keys[0] == "room"):
            placed = changed.place(setup, aspect)
        found.append((changed, placed))
    return found


def exposures(base: Exposure, field: Field) -> list[Exposure]:
    """Return the exposure with one of its dials at each value."""
    return [replace(base, **{field.keys[-1]: _number(field, value)}) for value in field.values]


def _lamps_varied(opened: Opened, setup: str, field: Field, aspect: float | None) -> list[PlacedSetup]:
    if len(field.keys) != 3 or field.keys[2] not in LAMP_KEYS:
        key = field.keys[-1]
        raise InputError(
            f"'{field.name}': a lamp's field is lamps.ROLE.KEY, and no key is '{key}'{nearest(key, LAMP_KEYS)}"
        )
    _, who, key = field.keys
    base = opened.place(setup, aspect)
    known = [lamp.role for lamp in base.lamps] + [lamp.name for lamp in base.lamps]
    if who not in known:
        raise InputError(f"'{field.name}': no lamp of {base.name} is '{who}'{nearest(who, known)}")
    number = next(i for i, lamp in enumerate(base.lamps) if who in (lamp.role, lamp.name))
    make: Callable[[str], PlacedSetup]
    if key in PLACES:
        spec = load_setup(setup)
        make = lambda value: opened.place(  # noqa: E731
            spec.model_copy(update={"lamps": _with(spec.lamps, number, {key: _number(field, value)}, field)}),
            aspect, base.name,
        )  # fmt: skip
    else:
        make = lambda value: _relit(base, number, key, _number(field, value), field)  # noqa: E731
    return [make(value) for value in field.values]


def _with(lamps: tuple[SetupLamp, ...], number: int, update: dict[str, Any], field: Field) -> tuple[SetupLamp, ...]:
    data = {**lamps[number].model_dump(exclude_unset=True), **update}
    changed = fill_model(data, SetupLamp, field.name)
    return (*lamps[:number], changed, *lamps[number + 1 :])


def _relit(base: PlacedSetup, number: int, key: str, value: float, field: Field) -> PlacedSetup:
    lamp = base.lamps[number]
    if key == "dimmer":
        if not 0 <= value <= 1:
            raise InputError(f"{field.name} = {value:g}: a dimmer lies between 0 and 1")
        changed = replace(lamp, dimmer=value, stops_under_key=None)
    else:
        data = {**lamp.lamp.model_dump(exclude_unset=True), key: value}
        changed = replace(lamp, lamp=fill_model(data, type(lamp.lamp), field.name))
    return replace(base, lamps=(*base.lamps[:number], changed, *base.lamps[number + 1 :]))


def _changed(opened: Opened, field: Field, value: str) -> Opened:
    """Return what is opened with a key of its arrangement at a value."""
    keys, said = (["subject", "topcoat"] if field.of_finish else field.keys), _read(value)
    if field.of_finish and opened.arrangement.subject is None:
        raise InputError(f"{opened.source}: there is no [subject] to finish")
    if field.of_finish and isinstance(said, str) and said not in named_finishes():
        raise InputError(f"no finish is called '{said}'{nearest(said, named_finishes())}")
    data = opened.arrangement.model_dump(exclude_unset=True)
    table: Any = data
    for key in keys[:-1]:
        table = table.setdefault(key, {})
        if not isinstance(table, dict):
            raise InputError(f"'{field.name}': '{key}' is a list or a value, and has no keys to vary")
    table[keys[-1]] = said
    for other in ("reflectance", "colour") if keys[0] == "backdrop" else ():
        if other != keys[-1] and keys[-1] in ("reflectance", "colour"):
            table.pop(other, None)
    arrangement = fill_model(data, Arrangement, field.name)
    return opened.changed(arrangement, reload=keys[0] == "subject" and ".".join(keys[1:]) not in SHARED)


def _read(value: str) -> float | str | bool:
    if value in ("true", "false"):
        return value == "true"
    try:
        return float(value)
    except ValueError:
        return value


def _number(field: Field, value: str) -> float:
    said = _read(value)
    if isinstance(said, (str, bool)) or (not said > 0 and field.keys[-1] in EXPOSURE):
        raise InputError(
            f"{field.name} = {value}: should be a number{' above 0' if field.keys[-1] in EXPOSURE else ''}"
        )
    return said
