"""The lamps owned, as an arrangement's file tells them: its own, those of its kit, what their files say."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from scenes.errors import InputError
from scenes.lamps.files.photometric import read_photometry
from scenes.lamps.files.photometry import Photometry
from scenes.lamps.files.spectrum import read_spectrum
from scenes.lamps.kit import Kit
from scenes.lamps.lamp import SPECTRUM_FILES, going_on

from .files import inside
from .reading import fill_model, read_toml

POINT_CM = 2.0
"""The diameter of a lamp whose file calls it a point."""
FACE_SHARE = 0.98
"""Of the light, from which on a lamp with light to the front alone is a face."""


def with_owned_lamps(data: Mapping[str, Any], path: Path) -> dict[str, Any]:
    """Return an arrangement's data with the lamps of its kit, the files of all found, and sizes filled from them.

    A lamp of the arrangement that has the name of one of the kit goes on from what the kit says of it. Nothing else
    is looked into: what is no list of tables is left to the checks that follow.

    Raises
    ------
    InputError
        Where a file is missing or wrong.
    """
    lamps = _tables(data)
    if lamps is None:
        return dict(data)
    if isinstance(data.get("kit"), str):
        lamps = list(_with_kit(lamps, _kit_lamps(inside(path.parent, f"{path}: kit", data["kit"]))))
    found = [_with_files(lamp, path, f"lamps[{i + 1}]") for i, lamp in enumerate(lamps)]
    return {**data, "lamps": found} if found else dict(data)


def _kit_lamps(path: Path) -> list[dict[str, Any]]:
    data = read_toml(path)
    lamps = _tables(data) or []
    found = [_with_files(lamp, path, f"lamps[{i + 1}]") for i, lamp in enumerate(lamps)]
    fill_model({**data, "lamps": found} if found else data, Kit, str(path))
    return found


def _tables(data: Mapping[str, Any]) -> list[dict[str, Any]] | None:
    """Return the lamps of a file's data, None where they are no list of tables."""
    lamps = data.get("lamps", [])
    return lamps if isinstance(lamps, list) and all(isinstance(lamp, dict) for lamp in lamps) else None


def _with_kit(own: list[dict[str, Any]], kit: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    by_name = {lamp["name"]: lamp for lamp in kit}
    for lamp in own:
        name = lamp.get("name")
        yield going_on(by_name.pop(name, {}) if isinstance(name, str) else {}, lamp)
    yield from by_name.values()


def _with_files(lamp: Mapping[str, Any], path: Path, key: str) -> dict[str, Any]:
    """Return a lamp's data with its files by their whole path; an unknown shape or brightness is taken from them."""
    filled = dict(lamp)
    spectrum, photometry = lamp.get("spectrum"), lamp.get("photometry")
    if isinstance(spectrum, str) and spectrum.lower().endswith(SPECTRUM_FILES):
        found = _found(path, f"{key}.spectrum", spectrum)
        read_spectrum(found)
        filled["spectrum"] = str(found)
    if isinstance(photometry, str):
        found = _found(path, f"{key}.photometry", photometry)
        told = read_photometry(found)
        filled["photometry"] = str(found)
        if not lamp.keys() & {"kind", "size_cm", "diameter_cm", "preset"}:
            filled |= _shape(told)
        if not lamp.keys() & {"lumens", "watts", "lux_at", "preset"}:
            filled["lumens"] = told.lumens
    return filled


def _shape(told: Photometry) -> dict[str, Any]:
    """Return the kind and size of lamp that a photometric file describes; what also shines behind itself is a ball."""
    width, height = told.size_cm
    if told.shape == "point":
        return {"kind": "bulb", "diameter_cm": POINT_CM}
    if told.distribution.front_share() < FACE_SHARE:
        return {"kind": "bulb", "diameter_cm": math.sqrt(width * height)}
    if told.shape == "disc":
        return {"kind": "disc", "diameter_cm": width}
    return {"kind": "panel", "size_cm": [width, height]}


def _found(path: Path, key: str, said: str) -> Path:
    if Path(said).is_absolute() and Path(said).is_file() and Path(said).is_relative_to(path.parent.resolve()):
        return Path(said)  # a lamp of the kit, found already
    found = inside(path.parent, f"{path}: {key}", said).resolve()
    if not found.is_file():
        raise InputError(f'{path}: {key} = "{said}": there is no such file; it should lie beside {path.name}')
    return found
