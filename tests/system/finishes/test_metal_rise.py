"""Polished metal in a uniform surround, traced: it returns what its published n and k say, band by band."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.light.observer import WAVELENGTHS_NM
from materials.surface.conductor import conductor_fresnel
from materials.surface.finish import Finish
from materials.surface.metals import metal_dip, metal_reflectance, named_metals
from render.description.scene import Camera, Geometry
from render.images.bands import CENTRES_NM
from render.kernel.trace import Tracer
from scenes.geometry import direction_round
from scenes.lamps.emitter_shape import ROOM
from tests.support.light import UP, board, meter
from tests.support.report import absolute, report

PASSES = 64
BANDS = (1, 6, 9)


def returned(finish: Finish, polar_deg: float) -> Array:
    """Return the light of each band that a large plate sends to a camera at a polar angle, in a uniform surround."""
    at = direction_round(0.0, 90.0 - polar_deg)
    right = np.array([1.0, 0.0, 0.0])
    camera = Camera(at, np.column_stack([right, np.cross(right, -at), -at]), 0.002, 8, 8)
    tracer = Tracer(Geometry((board(meter((0, 0, 0), UP, 200, 200), finish),), camera))
    return np.asarray(tracer.images([ROOM], 0, count=PASSES)[0].mean(axis=(1, 2)), float)


@pytest.mark.parametrize("name", ["gold", "aluminium", "iron"])
def test_a_polished_metal_pales_towards_grazing_as_its_constants_say(name: str) -> None:
    finish = Finish.metal(metal_reflectance(name), 0.001, metal_dip(name))
    white = Finish.metal(1.0, 0.001)
    for angle in (0, 60, 75, 85):
        got = returned(finish, angle) / returned(white, angle)
        for band in BANDS:
            index = np.interp(CENTRES_NM[band], WAVELENGTHS_NM, named_metals()[name].index)
            expected = float(conductor_fresnel(np.cos(np.radians(angle)), index))
            case = f"polished {name} at {angle} degrees, band at {CENTRES_NM[band]:.0f} nm"
            report(case, "Fresnel's equations with the published n, k", expected, float(got[band]), absolute(0.045))
