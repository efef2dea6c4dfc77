"""The noise that is left in a lamp image as it is shown: the difference of its halves, each denoised by itself.

Two independent halves of the passes have 2^.5 times the standard error of their mean, and their difference 2 times:
half of it is an estimate of what is left. The denoiser blurs both halves alike, which the difference does not show, and
more passes help it less than they help an average.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB
from render.camera.denoise import denoise

from .half_float import from_half_float, to_half_float
from .light_halves import LightHalves

if TYPE_CHECKING:
    from render.kernel.features import Features

LUMINANCE: Final[NDArray[np.float32]] = np.linalg.inv(XYZ_TO_LINEAR_SRGB)[1].astype(np.float32)
"""Of linear sRGB."""


@dataclass(frozen=True, eq=False)
class Noise:
    """A lamp image as shown, and a sample of its standard error, under the reference spectrum.

    Parameters
    ----------
    luminance, difference : (height, width)
        The mean of the denoised halves, and half of their difference, over the scales.
    luminance_scale, difference_scale
        In cd/m2.
    passes
        Number of passes of the lamp image.
    """

    luminance: NDArray[np.float16]
    luminance_scale: NDArray[np.float32]
    difference: NDArray[np.float16]
    difference_scale: NDArray[np.float32]
    passes: int

    @property
    def shown(self) -> Image:
        """The luminance as shown, (height, width) cd/m2."""
        return from_half_float(self.luminance, self.luminance_scale)

    @property
    def error(self) -> Image:
        """A sample of its standard error, (height, width) cd/m2; the noise of lamps that share paths is correlated."""
        return from_half_float(self.difference, self.difference_scale)


def measure_noise(halves: LightHalves, passes: int, features: Features) -> Noise:
    """Return the noise of a lamp image of so many passes, which halves have nearly all of.

    From as many passes on as direct light is shown as it was traced (`denoising_gain.RAW_DIRECT_PASSES`).

    Raises
    ------
    NoDenoiserError
        If the denoiser does not load.
    """
    first, second = (_shown_luminance(halves, half, features) for half in range(2))
    known = float(halves.passes.sum())
    luminance, luminance_scale = to_half_float(np.float32(0.5) * (first + second))
    difference, difference_scale = to_half_float(np.float32((known / passes) ** 0.5 / 2) * (first - second))
    return Noise(luminance, np.asarray(luminance_scale), difference, np.asarray(difference_scale), passes)


def _shown_luminance(halves: LightHalves, half: int, features: Features) -> Image:
    """Return the luminance of a half with its indirect light denoised, (height, width) cd/m2."""
    direct, indirect = halves.direct_and_indirect(half)
    direct += denoise(indirect, features.albedo, features.normal, np.inf)
    luminance: Image = direct @ LUMINANCE
    return luminance
