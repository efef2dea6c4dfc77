"""What is wrong with a lamp image as it is shown, by its halves: each as traced, and denoised by itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image
from materials.colour.srgb import LUMINANCE_WEIGHTS

from .passes.half_float import from_half_float, to_half_float
from .passes.light_halves import LightHalves
from .passes.rungs import is_doubling
from .reference_light import REFERENCE_Y
from .shown_light import RAW_DIRECT_PASSES, bright_level, shown_light

if TYPE_CHECKING:
    from render.kernel.features import Features


@dataclass(frozen=True, eq=False)
class HalfPictures:
    """The luminance of the two halves of a lamp image, or of a frame; each array is (2, height, width).

    Parameters
    ----------
    clean, noisy
        As shown (`shown_light`), and as traced.
    """

    clean: Image
    noisy: Image


@dataclass(frozen=True, eq=False)
class Noise:
    """The halves of a lamp image under the reference spectrum, of which its error is estimated.

    Parameters
    ----------
    clean, noisy : (2, height, width)
        The luminance of each half as shown and as traced, over the scales.
    clean_scale, noisy_scale
        In cd/m2.
    known
        Passes of both halves, over all of the image.
    passes
        Number of passes of the image.
    """

    clean: NDArray[np.float16]
    clean_scale: NDArray[np.float32]
    noisy: NDArray[np.float16]
    noisy_scale: NDArray[np.float32]
    known: NDArray[np.float64]
    passes: int

    def lit(self, luminance: float) -> HalfPictures:
        """Return the halves in cd/m2 by a lamp whose spectrum has so much luminance, cd/m2."""
        factor = np.float32(luminance / REFERENCE_Y)
        clean, noisy = from_half_float(self.clean, self.clean_scale), from_half_float(self.noisy, self.noisy_scale)
        return HalfPictures(clean * factor, noisy * factor)


def is_measured(passes: int) -> bool:
    """Return whether noise is measured of images of so many passes."""
    return passes >= RAW_DIRECT_PASSES and is_doubling(passes)


def measure_noise(halves: LightHalves, passes: int, features: Features) -> Noise:
    """Return the noise of a lamp image of so many passes, which halves have nearly all of.

    Raises
    ------
    NoDenoiserError
        If the denoiser does not load.
    """
    clean, noisy = [], []
    for half in range(2):
        direct, indirect = halves.direct_and_indirect(half)
        traced = ((direct + indirect) @ LUMINANCE_WEIGHTS).astype(np.float32)
        shown = shown_light(direct, indirect, bright_level(traced, features), passes, features)
        noisy.append(traced)
        clean.append((shown @ LUMINANCE_WEIGHTS).astype(np.float32))
    stored_clean, clean_scale = to_half_float(np.stack(clean))
    stored_noisy, noisy_scale = to_half_float(np.stack(noisy))
    known = np.asarray(halves.passes.sum() / passes)
    return Noise(stored_clean, np.asarray(clean_scale), stored_noisy, np.asarray(noisy_scale), known, passes)
