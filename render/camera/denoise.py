"""Open Image Denoise on developed pictures; stored lamp images stay noisy."""

from __future__ import annotations

from functools import cache
from typing import Any, Final

import numpy as np

from materials.arrays import Image

from .denoising_filter import run_filter

CEILING: Final = 1.5
"""Of frame white. Far brighter pixels spoil the denoiser: some at 28 times white made a frame worse than raw."""


class NoDenoiserError(RuntimeError):
    """The denoiser does not load; the message has the remedy."""


@cache
def load_denoiser() -> Any:
    """Return the module of the denoiser, ready to run.

    Raises
    ------
    NoDenoiserError
        With the remedy.
    """
    try:
        import mitsuba_oidn

        mitsuba_oidn.Device()
    except (ImportError, OSError, RuntimeError) as error:
        raise NoDenoiserError(
            f"the denoiser does not load ({error}): run `pip install --force-reinstall mitsuba-oidn`"
        ) from None
    return mitsuba_oidn


def denoise(linear: Image, albedo: Image, normal: Image) -> Image:
    """Return a linear picture denoised, guided by albedo and unit normals; all (height, width, 3).

    The picture is relative to frame white. What is over `CEILING` of it is added back as it is: it is white either way.
    """
    clean = run_filter(
        load_denoiser(),
        color=np.clip(linear, 0.0, CEILING),
        albedo=np.clip(albedo, 0.0, 1.0),
        normal=np.clip(normal, -1.0, 1.0),
    )
    clean += np.maximum(linear - CEILING, 0.0)
    return clean
