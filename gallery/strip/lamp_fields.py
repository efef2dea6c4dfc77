"""One key of a lamp of a setup at another value, the lamp in its place."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace

from scenes.arrangement.folder import Folder
from scenes.arrangement.lamp_model import LampModel, overridden
from scenes.arrangement.owned import resolve_lamp
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError, nearest
from scenes.setups.placed import PlacedLamp
from scenes.setups.setup import RelativePlacement, SetupLamp

from .arrangement_fields import set_value
from .field import Field, Value

PLACEMENT_KEYS = tuple(RelativePlacement.model_fields)
"""Keys that say where a lamp of a setup stands."""
FIXED_KEYS = ("name", "preset", "at_cm", "aim_cm", "role", "upright", "dimmable")
LAMP_KEYS = tuple(key for key in LampModel.model_fields if key not in FIXED_KEYS)


def vary_lamp(placed: PlacedLamp, field: Field, value: Value, folder: Folder) -> PlacedLamp:
    """Return a lamp with a key of its own, its dimmer or its stops under the key at a value.

    A value that names a file is looked for in `folder`, the arrangement's, for a lamp of the kit too.

    Raises
    ------
    InputError
        Where it has no such key, the key does not take the value, or a file is missing, wrong or elsewhere.
    """
    key = field.steps[2]
    if key in ("dimmer", "stops_under_key"):
        if not placed.lamp.model.dimmable:
            raise InputError(f"'{field.name}': {placed.name} cannot be dimmed (dimmable = false)")
        checked = fill_model({"role": placed.role, key: value}, SetupLamp, "strip")
        dimmer = placed.dimmer if checked.stops_under_key is not None else checked.dimmer
        return replace(placed, dimmer=dimmer, stops_under_key=checked.stops_under_key)
    if key in LampModel.renamed:
        raise InputError(f"'{field.name}': {key} is now called {LampModel.renamed[key]}")
    if key not in LAMP_KEYS:
        known = (*PLACEMENT_KEYS, "stops_under_key", *LAMP_KEYS)
        raise InputError(f"'{field.name}': a lamp has no '{key}' to vary{nearest(key, known)}")
    stated = deepcopy(dict(placed.lamp.stated))
    if len(field.steps) == 3:
        stated = overridden(stated, {key: value})
    else:
        set_value(stated, field.steps[2:], value, field.name)
    return replace(placed, lamp=resolve_lamp(stated, folder, field.steps[:2]))
