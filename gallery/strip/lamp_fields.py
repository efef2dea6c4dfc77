"""A lamp of a setup with one of its keys at another value, in its place."""

from __future__ import annotations

from dataclasses import replace

from scenes.arrangement.reading import fill_model
from scenes.errors import InputError, nearest
from scenes.lamps.lamp import LampModel, going_on
from scenes.setups.placed import PlacedLamp
from scenes.setups.setup import SetupLamp, Standing

from .field import Field, Value, put

STANDING = tuple(Standing.model_fields)
"""Where a lamp of a setup stands, as the setup counts it."""
OWN = tuple(key for key in LampModel.model_fields if key not in ("name", "preset", "at_cm", "aim_cm", "dims"))


def relit(placed: PlacedLamp, field: Field, value: Value) -> PlacedLamp:
    """Return a lamp with a key of its own, its dimmer, or how far it is under the key, at a value.

    Raises
    ------
    InputError
        Where it has no such key, or the key does not take the value.
    """
    key = field.steps[2]
    if key in ("dimmer", "stops_under_key"):
        if not placed.lamp.dims:
            raise InputError(f"'{field.name}': {placed.name} cannot be dimmed (dims = false)")
        said = fill_model({"role": placed.role, key: value}, SetupLamp, "strip")
        dimmer = placed.dimmer if said.stops_under_key is not None else said.dimmer
        return replace(placed, dimmer=dimmer, stops_under_key=said.stops_under_key)
    if key not in OWN:
        known = (*STANDING, "stops_under_key", *OWN)
        raise InputError(f"'{field.name}': a lamp has no '{key}' to vary{nearest(key, known)}")
    data = placed.lamp.model_dump(exclude_unset=True)
    if len(field.steps) == 3:
        data = going_on(data, {key: value})
    else:
        put(data, field.steps[2:], value, field.name)
    return replace(placed, lamp=fill_model(data, LampModel, f"strip: {placed.name}"))
