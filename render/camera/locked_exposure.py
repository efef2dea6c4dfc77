"""Exposure and white balance, metered for one frame or locked for several that are to be compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from materials.light.colour_temperature import cct_duv, xy_to_cct_duv
from materials.light.spectra import Spectrum, blackbody, photometric_value, xyz
from scenes.arrangement.arrangement import CameraModel

from .exposure import Exposure

SETTINGS = ("iso", "shutter_s", "f_number")


@dataclass(frozen=True, eq=False)
class WhitePoint:
    """The XYZ (3,) that is rendered neutral, and its correlated colour temperature, None for coloured light."""

    xyz: NDArray[np.float64]
    kelvin: float | None


@dataclass(frozen=True, eq=False)
class LockedExposure:
    """The exposure and the white balance that a frame is developed with.

    `remedy` says what would bring an exposure within the camera's reach; None where it is.
    """

    exposure: Exposure
    white: WhitePoint
    remedy: str | None = None


def white_point(camera: CameraModel, radiance: Sequence[Spectrum], weights: Sequence[float]) -> WhitePoint:
    """Return the white point that the arrangement fixes, or that of all emitters together.

    `radiance` has each emitter's spectrum, (351,); `weights` its share of the luminance of the subject, in any unit.
    """
    if isinstance(camera.white_balance, float):
        return WhitePoint(xyz(blackbody(camera.white_balance)), camera.white_balance)
    if isinstance(camera.white_balance, tuple):
        return white_of(*camera.white_balance)
    total = sum(weights)
    shares = [w / total for w in weights] if total > 0 else [1.0 / len(weights)] * len(weights)
    mix = np.sum([s * r / photometric_value(r) for s, r in zip(shares, radiance, strict=True) if s > 0], axis=0)
    try:
        return WhitePoint(xyz(mix), cct_duv(mix)[0])
    except ValueError:
        return WhitePoint(xyz(mix), None)


def white_of(x: float, y: float) -> WhitePoint:
    """Return the white point of a CIE 1931 chromaticity."""
    white = np.array([x / y, 1.0, (1.0 - x - y) / y])
    try:
        return WhitePoint(white, xy_to_cct_duv(x, y)[0])
    except ValueError:
        return WhitePoint(white, None)


def shortest_exposure(metered: Sequence[LockedExposure]) -> LockedExposure:
    """Return the shortest of several exposures, so that no frame clips more than under its own."""
    return max(metered, key=lambda each: each.exposure.white_cd_m2)


def bracket_exposures(metered: Exposure, setting: str, values: Sequence[float], fixed: bool) -> list[Exposure]:
    """Return exposures in which one setting takes each of `values` and the other two are the same in all.

    The brightest of them shows the same luminance as white as `metered`: the shutter compensates, or the ISO where the
    shutter is varied. With `fixed` settings nothing compensates.
    """
    brightest_value = min(values) if setting == "f_number" else max(values)
    brightest = replace(metered, **{setting: brightest_value})
    if not fixed:
        other = "iso" if setting == "shutter_s" else "shutter_s"
        factor = brightest.white_cd_m2 / metered.white_cd_m2
        brightest = replace(brightest, **{other: getattr(metered, other) * factor})
    return [replace(brightest, **{setting: value}) for value in values]
