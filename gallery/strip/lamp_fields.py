"""A lamp of a setup with one of its keys at another value, in its place."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace

from scenes.arrangement.folder import Folder
from scenes.arrangement.lamp_model import LampModel, overridden
from scenes.arrangement.owned import resolve_lamp
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError, nearest
from scenes.setups.placed import PlacedLamp
from scenes.setups.setup import SetupLamp, Standing

from .field import Field, Value, put

STANDING = tuple(Standing.model_fields)
"""Where a lamp of a setup stands, as the setup counts it."""
OWN = tuple(key for key in LampModel.model_fields if key not in ("name", "preset", "at_cm", "aim_cm", "dimmable"))


def relit(placed: PlacedLamp, field: Field, value: Value, folder: Folder) -> PlacedLamp:
    """Return a lamp with a key of its own, its dimmer, or how far it is under the key, at a value.

    A value that names a file is looked for in `folder`, the arrangement's, whoever's the lamp is.

    Raises
    ------
    InputError
        Where it has no such key, the key does not take the value, or a file is missing, wrong or elsewhere.
    """
    key = field.steps[2]
    if key in ("dimmer", "stops_under_key"):
        if not placed.lamp.model.dimmable:
            raise InputError(f"'{field.name}': {placed.name} cannot be dimmed (dimmable = false)")
        said = fill_model({"role": placed.role, key: value}, SetupLamp, "strip")
        dimmer = placed.dimmer if said.stops_under_key is not None else said.dimmer
        return replace(placed, dimmer=dimmer, stops_under_key=said.stops_under_key)
    if key in LampModel.renamed:
        raise InputError(f"'{field.name}': {key} is now called {LampModel.renamed[key]}")
    if key not in OWN:
        known = (*STANDING, "stops_under_key", *OWN)
        raise InputError(f"'{field.name}': a lamp has no '{key}' to vary{nearest(key, known)}")
    stated = deepcopy(dict(placed.lamp.stated))
    if len(field.steps) == 3:
        stated = overridden(stated, {key: value})
    else:
        put(stated, field.steps[2:], value, field.name)
    return replace(placed, lamp=resolve_lamp(stated, folder, field.steps[:2]))
