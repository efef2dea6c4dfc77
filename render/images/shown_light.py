"""The light of a lamp image as it is shown: denoised, but direct light where enough samples were taken of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from materials.arrays import Image
from render.camera.denoise import denoise
from render.kernel.workload import BACKDROP_PASS_SAMPLES, PASS_SAMPLES
from render.readings.coverage import wholly_covered

if TYPE_CHECKING:
    from render.kernel.features import Features

BRIGHT_PERCENTILE: Final = 90.0
CEILING: Final = 6.0
"""Of direct light, times the luminance of the bright parts: a tenth of frame white for a rim lamp, all of it for a key.
Highlights far beyond spoil the denoiser beside them; with a lower ceiling more stays as it was traced.
"""
RAW_DIRECT_PASSES: Final = 8
"""From so many on, direct light is nearer to the truth as traced, and keeps what is finer than the denoiser sees."""
RAW_BACKDROP_PASSES: Final = RAW_DIRECT_PASSES * PASS_SAMPLES // BACKDROP_PASS_SAMPLES
"""The same where there is only backdrop, of which a pass takes fewer samples."""


def shown_light(direct: Image, indirect: Image, level: float, passes: int, features: Features) -> Image:
    """Return the light of a lamp image of so many passes as it is shown, linear sRGB (height, width, 3).

    Parameters
    ----------
    direct, indirect : (height, width, 3)
        Linear sRGB as traced.
    level
        Luminance of the bright parts, as `bright_level`.

    Raises
    ------
    NoDenoiserError
        If the denoiser does not load.
    """
    guides = (features.albedo, features.normal)
    shown: Image = denoise(indirect, *guides, np.inf)  # its brightest pixels are noise: there are no highlights
    if passes >= RAW_BACKDROP_PASSES:
        shown += direct
        return shown
    clean = denoise(direct, *guides, CEILING * level)
    if passes >= RAW_DIRECT_PASSES:
        beside = ~wholly_covered(features.backdrop)
        clean[beside] = direct[beside]
    shown += clean
    return shown


def bright_level(luminance: Image, features: Features) -> float:
    """Return the luminance that a tenth of the subject exceeds, or that a tenth of the picture does if it is higher."""
    subject = luminance[wholly_covered(features.subject)]
    return max(float(np.percentile(part, BRIGHT_PERCENTILE)) for part in (luminance, subject) if part.size)
