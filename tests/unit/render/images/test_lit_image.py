"""The denoised picture of a lamp image is worked out where it is asked for."""

from __future__ import annotations

import numpy as np

from materials.light.spectra import blackbody
from render.images.denoising_gain import DenoisingGain
from render.images.lit_image import LitImage

SIZE = (4, 6)


def lit() -> LitImage:
    xyz = np.ones((*SIZE, 3), np.float32)
    gain = DenoisingGain(np.full(xyz.shape, 0.5, np.float16), 0.0)
    return LitImage(blackbody(4000), xyz, xyz[..., 1], lambda: gain)


def test_the_gain_is_measured_when_the_denoised_picture_is_asked_for_and_once() -> None:
    calls = []

    def measure() -> DenoisingGain:
        calls.append(1)
        return lit().measure_gain()

    image = LitImage(blackbody(4000), lit().xyz, lit().specular, measure)
    assert not calls
    for _ in range(2):
        np.testing.assert_allclose(image.clean_xyz, 0.5 * image.xyz, rtol=1e-5)
    assert len(calls) == 1
