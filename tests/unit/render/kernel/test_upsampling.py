"""Spectral upsampling in the kernel: colours of pictures keep their colour, and none reflects more than arrives."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array
from materials.colour.srgb import REFLECTANCE_TO_LINEAR_SRGB
from materials.light.observer import WAVELENGTHS_NM
from render.kernel.backend import mitsuba
from render.kernel.paths.wavelengths import STEP_NM, STEPS, SampledWavelengths
from render.kernel.surfaces.upsampling import Upsampling
from tests.support.reflectances.pictures import picture_reflectance

LEVELS = np.array([0.0, 1e-3, 0.02, 0.1, 0.3, 0.7, 0.99, 1.0])
COLOURS = np.stack(np.meshgrid(LEVELS, LEVELS, LEVELS), axis=-1).reshape(-1, 3)


def in_kernel(colours: Array, count: int, step: int) -> tuple[Array, Array]:
    """Return wavelengths (count,) in nm and the kernel's reflectance there, (n, count)."""
    mi = mitsuba()
    lanes = mi.Vector3f(*(mi.Float(channel.astype(np.float32)) for channel in colours.T))
    wavelengths = SampledWavelengths(count, mi.UInt32(np.full(len(colours), step, np.uint32)))
    values = Upsampling(count).reflectance(lanes, wavelengths)
    nm = WAVELENGTHS_NM[0] - 0.5 + (np.arange(count) * (STEPS // count) + step + 0.5) * STEP_NM
    return nm, np.array([np.array(value) for value in values]).T


def test_every_colour_of_a_picture_keeps_its_colour_in_daylight_within_0_and_1() -> None:
    reflectance = picture_reflectance(COLOURS)
    assert reflectance.min() > -1e-9
    assert reflectance.max() < 1 + 1e-9
    np.testing.assert_allclose(reflectance @ REFLECTANCE_TO_LINEAR_SRGB.T, COLOURS, atol=1e-6)


def test_greys_are_flat() -> None:
    greys = np.repeat(LEVELS[:, None], 3, axis=1)
    np.testing.assert_allclose(picture_reflectance(greys), np.repeat(LEVELS[:, None], WAVELENGTHS_NM.size, axis=1))


def test_the_kernel_mixes_as_stated() -> None:
    for step in (0, 17, 63):
        nm, got = in_kernel(COLOURS, 12, step)
        expected = [np.interp(nm, WAVELENGTHS_NM, row) for row in picture_reflectance(COLOURS)]
        np.testing.assert_allclose(got, expected, atol=2e-5)
