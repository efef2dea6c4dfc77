"""The lamps and cards owned: those of an arrangement and of its kit; lamps completed by presets and their files."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePosixPath
from typing import Any

from scenes.errors import InputError, each
from scenes.lamps.files.photometric import read_photometry
from scenes.lamps.files.photometry import Photometry
from scenes.lamps.files.spectrum import read_spectrum
from scenes.lamps.lamp import Lamp, lamp_of

from .arrangement import Arrangement
from .cards.card_model import CardModel
from .folder import Folder
from .kit_model import Kit
from .lamp_model import SPECTRUM_FILES, CompleteLamp, LampModel, lamp_presets, overridden
from .mistakes.file_kind import is_arrangement, is_setup
from .mistakes.place import key_of
from .reading import fill_model, read_toml

POINT_CM = 2.0
"""The diameter of a lamp whose file calls it a point."""
FRONT_SHARE = 0.98
"""The share of a lamp's light that leaves to the front, from which it is taken for flat."""

Stated = Mapping[str, Any]


def owned(arrangement: Arrangement, folder: Folder) -> tuple[tuple[Lamp, ...], tuple[CardModel, ...]]:
    """Return the lamps and the cards of an arrangement, then those of its kit that it does not name.

    A lamp of the arrangement with the name of one of the kit overrides its keys; a card replaces one of its name.

    Raises
    ------
    InputError
        Where a file is missing or wrong, or a lamp is not declared completely.
    """
    if arrangement.kit is None:
        return _lamps(arrangement, {}, folder), arrangement.cards
    path = folder.find("kit", arrangement.kit)
    data = read_toml(path)
    if is_arrangement(data) or is_setup(data):
        what = "an arrangement" if is_arrangement(data) else "a setup"
        raise InputError(f"{path} is {what}, and no kit: a kit has [[lamps]] and [[cards]] alone")
    kit = fill_model(data, Kit, str(path))
    lamps = _kit_lamps(kit, arrangement.kit, folder.below(arrangement.kit, path))
    return _lamps(arrangement, lamps, folder), _cards(arrangement, kit)


def _lamps(arrangement: Arrangement, kit: dict[str, Stated], folder: Folder) -> tuple[Lamp, ...]:
    own = [overridden(kit.pop(lamp.name, {}), _stated(lamp)) for lamp in arrangement.lamps]
    return tuple(_resolve_each([*own, *kit.values()], folder))


def _cards(arrangement: Arrangement, kit: Kit) -> tuple[CardModel, ...]:
    """Return the cards of an arrangement, then those of its kit less one for each that it names."""
    rest = list(kit.cards)
    for named in (card.name for card in arrangement.cards if "name" in card.model_fields_set):
        if (same := next((card for card in rest if card.name == named), None)) is not None:
            rest.remove(same)
    return (*arrangement.cards, *rest)


def _resolve_each(lamps: Sequence[Stated], folder: Folder) -> list[Lamp]:
    return each(lambda i: resolve_lamp(lamps[i], folder, ("lamps", i)), range(len(lamps)))


def resolve_lamp(stated: Stated, folder: Folder, place: tuple[int | str, ...]) -> Lamp:
    """Return the lamp of stated keys; `place` is where they stand, for messages.

    Raises
    ------
    InputError
        Where a file is missing or wrong, or it is not declared completely.
    """
    known = lamp_presets().get(stated["preset"], {}) if isinstance(stated.get("preset"), str) else {}
    data = overridden({key: value for key, value in known.items() if key != "description"}, stated)
    photometry, measured = None, None
    if isinstance(name := data.get("photometry"), str):
        path = folder.find(key_of((*place, "photometry")), name)
        photometry = read_photometry(path)
        measures = _keys_from(photometry, data)
        fill_model({"name": data["name"], **measures}, LampModel, str(path))  # beyond limits, the file is named
        data |= measures
    if isinstance(name := data.get("spectrum"), str) and name.lower().endswith(SPECTRUM_FILES):
        measured = read_spectrum(folder.find(key_of((*place, "spectrum")), name))
    return lamp_of(fill_model(data, CompleteLamp, folder.source, place), photometry, measured, stated, folder)


def _stated(lamp: LampModel) -> dict[str, Any]:
    return lamp.model_dump(exclude_unset=True)


def _kit_lamps(kit: Kit, name: str, within: Folder) -> dict[str, Stated]:
    """Return the keys of the lamps of a kit, by name; their files are named from the arrangement's folder."""
    _resolve_each([_stated(lamp) for lamp in kit.lamps], within)  # so that a mistake names the kit as its source
    return {lamp.name: dict(_from_arrangement(_stated(lamp), PurePosixPath(name).parent)) for lamp in kit.lamps}


def _from_arrangement(stated: Stated, kit_folder: PurePosixPath) -> Iterator[tuple[str, Any]]:
    for key, value in stated.items():
        is_file = key == "photometry" or (key == "spectrum" and value.lower().endswith(SPECTRUM_FILES))
        yield key, (kit_folder / value).as_posix() if is_file else value


def _keys_from(photometry: Photometry, stated: Stated) -> dict[str, Any]:
    """Return kind, size and lumens from a photometric file, as far as they are not stated."""
    keys = {} if stated.keys() & {"kind", "size_cm", "diameter_cm", "preset"} else _shape(photometry)
    return keys if stated.keys() & {"lumens", "watts", "lux_at", "preset"} else {**keys, "lumens": photometry.lumens}


def _shape(photometry: Photometry) -> dict[str, Any]:
    """Return the kind and size of the lamp in a file; one that also shines backward is a bulb."""
    width, height = photometry.size_cm
    if photometry.shape == "point":
        return {"kind": "bulb", "diameter_cm": POINT_CM}
    if photometry.distribution.front_share() < FRONT_SHARE:
        return {"kind": "bulb", "diameter_cm": math.sqrt(width * height)}
    if photometry.shape == "disc":
        return {"kind": "disc", "diameter_cm": width}
    return {"kind": "panel", "size_cm": [width, height]}
