"""The denoised light of a lamp image, whatever spectrum its lamp has and however far that is dimmed.

A lamp image is denoised once, in linear sRGB under one reference spectrum, direct and indirect light apart. What is
kept is the gain, denoised over noisy, of each pixel and channel: the noisy light of any other spectrum times the gain
is its denoised light, since all wavelengths of a path share its noise. The channels of the gain are those of Rec. 2020,
where nearly every colour is positive: a saturated lamp's colour is a small difference of gains in XYZ, and has negative
channels in sRGB.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image
from materials.colour.rgb_space import XYZ_TO_LINEAR_REC2020
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB
from materials.light.spectra import Spectrum, xyz

from .passes.sealing import SealedImage
from .reference_light import REFERENCE_Y, TO_D65, TO_SRGB, reference_light
from .shown_light import bright_level, shown_light

if TYPE_CHECKING:
    from render.kernel.features import Features

LITTLE: Final = 5e-4
"""Of the luminance of the bright parts. Darker pixels have no colour of their own, and take that of the lamp."""

_TO_REC2020: Final = (XYZ_TO_LINEAR_REC2020 @ TO_D65).astype(np.float32)
_SRGB_TO_REC2020: Final = (XYZ_TO_LINEAR_REC2020 @ np.linalg.inv(XYZ_TO_LINEAR_SRGB)).astype(np.float32)
_FROM_REC2020: Final = np.linalg.inv(_TO_REC2020.astype(np.float64)).astype(np.float32)


@dataclass(frozen=True, eq=False)
class DenoisingGain:
    """The denoised light of a lamp image over the noisy one, in linear Rec. 2020.

    Parameters
    ----------
    gain : (height, width, 3)
    little
        Light of the reference spectrum that is added to the noisy one before, cd/m2.
    """

    gain: NDArray[np.float16]
    little: float

    def clean_xyz(self, noisy_xyz: Image, radiance: Spectrum) -> Image:
        """Return the denoised picture by a lamp of `radiance` (351,), (height, width, 3) XYZ, Y in cd/m2.

        `noisy_xyz` is its `lamp_xyz`. The result is linear in the radiance.
        """
        rgb: Image = noisy_xyz @ _TO_REC2020.T
        rgb += (self.little * (_TO_REC2020 @ xyz(radiance)) / REFERENCE_Y).astype(np.float32)
        rgb *= self.gain
        clean: Image = rgb @ _FROM_REC2020.T
        return clean


def measure_gain(image: SealedImage, features: Features) -> DenoisingGain:
    """Return the denoising gain of a lamp image.

    Raises
    ------
    NoDenoiserError
        If the denoiser does not load.
    """
    noisy_xyz, indirect_share = reference_light(image)
    level = bright_level(noisy_xyz[..., 1], features)
    direct = noisy_xyz @ TO_SRGB.T
    indirect = direct * indirect_share[..., None]
    direct -= indirect
    del indirect_share  # it is large
    clean = shown_light(direct, indirect, level, image.passes, features)
    del direct, indirect
    little = max(LITTLE * level, float(np.finfo(np.float32).tiny))
    return DenoisingGain(_ratio(clean @ _SRGB_TO_REC2020.T, noisy_xyz @ _TO_REC2020.T, little), little)


def _ratio(clean: Image, noisy: Image, little: float) -> NDArray[np.float16]:
    """Return the gain, at most 1 / LITTLE: what lacks all light is filled up that far. A negative value keeps 1."""
    gain = clean / (np.maximum(noisy, 0.0) + np.float32(little))
    gain = np.where(noisy < 0.0, np.float32(1.0), np.clip(gain, 0.0, 1.0 / LITTLE))
    return gain.astype(np.float16)
