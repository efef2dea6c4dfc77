"""The pictures of a lamp image are worked out where they are asked for, and the last ones stay in memory."""

from __future__ import annotations

import numpy as np

from materials.arrays import Image
from materials.light.spectra import blackbody
from render.images.denoising_gain import DenoisingGain
from render.images.lamp_images import LitLamp, lamp_xyz
from render.images.lit_image import LitImage
from render.images.recent import Recent
from tests.unit.render.images.test_denoising_gain import noisy

RADIANCE = blackbody(4000)
NOISY_XYZ = lamp_xyz(LitLamp(noisy(), RADIANCE))


class Gain:
    """Halves light, and counts how often it is measured."""

    def __init__(self) -> None:
        self.calls: list[None] = []

    def __call__(self) -> DenoisingGain:
        self.calls.append(None)
        return DenoisingGain(np.full(NOISY_XYZ.shape, 0.5, np.float16), 0.0)


def lit(gain: Gain, most_bytes: int = 2**20) -> LitImage:
    pictures: Recent[Image] = Recent(most_bytes, lambda picture: picture.nbytes)
    return LitImage("first", noisy(), RADIANCE, gain, pictures)


def test_the_gain_is_measured_when_the_denoised_picture_is_asked_for_and_once() -> None:
    gain = Gain()
    image = lit(gain)
    np.testing.assert_array_equal(image.xyz, NOISY_XYZ)
    assert not gain.calls
    for _ in range(2):
        np.testing.assert_allclose(image.clean_xyz, 0.5 * NOISY_XYZ, rtol=1e-5)
    assert len(gain.calls) == 1


def test_pictures_too_large_for_the_memory_are_worked_out_each_time() -> None:
    gain = Gain()
    image = lit(gain, 0)
    for _ in range(2):
        np.testing.assert_allclose(image.clean_xyz, 0.5 * NOISY_XYZ, rtol=1e-5)
    assert len(gain.calls) == 2
