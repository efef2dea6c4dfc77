"""A frame taken anew in another state: what a page's relit frame is held against."""

from __future__ import annotations

from dataclasses import replace

import colour
import numpy as np
from numpy.typing import NDArray

from gallery.strip.field import Field
from gallery.strip.lamp_fields import vary_lamp
from materials.arrays import Array
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB, srgb_decode
from materials.light.observer import D65_XYZ
from render.camera.locked_exposure import LockedExposure
from render.frame import take_frame
from render.images.tracing import Tracing
from render.shot import Shot
from render.shot_light import ShotLight, shot_light
from scenes.setups.placed import PlacedLamp
from scenes.units import ratio
from tests.support.relight.frame import State


def taken_anew(light: ShotLight, state: State, tracing: Tracing, passes: int) -> NDArray[np.uint8]:
    """Return the frame of a shot whose lamps and camera are set as a state says, (height, width, 3)."""
    lamps = [
        _lamp_at(*lamp) for lamp in zip(light.setup.lamps, state.dimmers, state.kelvins, strict=False)
    ]  # the room's light comes last
    camera = light.shot.camera.model_copy(update={"white_balance": state.white_balance})
    shot: Shot = replace(light.shot, setup=replace(light.setup, lamps=tuple(lamps)), camera=camera)
    metered = light.metered_exposure.exposure
    exposure = replace(metered, shutter_s=metered.shutter_s * ratio(state.stops))
    return take_frame(shot, tracing, passes, LockedExposure(exposure, shot_light(shot, tracing, passes).white)).rgb


def shown_difference(rgb: NDArray[np.uint8], other: NDArray[np.uint8]) -> Array:
    """Return CIEDE2000 of each pixel of two pictures, by colour-science."""
    return np.asarray(colour.difference.delta_E_CIE2000(_lab(rgb), _lab(other)))


def _lamp_at(placed: PlacedLamp, dimmer: float, kelvin: float | None) -> PlacedLamp:
    """Return a lamp of a dimmer and a colour temperature, which it keeps where it is None."""
    if kelvin is not None:
        field = Field("kelvin", ("lamps", placed.name, "kelvin"), (kelvin,))
        placed = vary_lamp(placed, field, kelvin, placed.lamp.folder)
    return replace(placed, dimmer=dimmer, stops_under_key=None, sheet_over_white=None)


def _lab(rgb: NDArray[np.uint8]) -> Array:
    xyz = srgb_decode(rgb / 255) @ np.linalg.inv(XYZ_TO_LINEAR_SRGB).T
    return np.asarray(colour.XYZ_to_Lab(xyz, colour.XYZ_to_xy(D65_XYZ)))
