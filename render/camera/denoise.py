"""Open Image Denoise on linear pictures, loaded when it is first needed."""

from __future__ import annotations

import importlib.metadata
from functools import cache
from typing import Any

import numpy as np

from materials.arrays import Image

from .denoising_filter import run_filter


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


@cache
def denoiser_version() -> str:
    """Return the version of the denoiser without loading it; empty where it is not installed."""
    try:
        return importlib.metadata.version("mitsuba-oidn")
    except importlib.metadata.PackageNotFoundError:
        return ""


def denoise(linear: Image, albedo: Image, normal: Image, ceiling: float) -> Image:
    """Return a linear picture denoised, guided by albedo and unit normals; all (height, width, 3).

    What lies outside 0 to `ceiling` is added back as it is: some pixels at 28 times white made a frame worse than raw.
    """
    bounded = _within(linear, 0.0, ceiling)
    clean = run_filter(
        load_denoiser(), color=bounded, albedo=_within(albedo, 0.0, 1.0), normal=_within(normal, -1.0, 1.0)
    )
    clean += linear - bounded
    return clean


def _within(image: Image, low: float, high: float) -> Image:
    """Return an image with its values clipped; no copy of one that lies within the bounds, since it is large."""
    inside = low <= float(image.min()) and float(image.max()) <= high
    return image if inside else np.clip(image, low, high)
