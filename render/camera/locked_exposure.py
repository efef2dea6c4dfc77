"""Exposure and white balance: metered for each frame, and locked for frames that are to be compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from materials.light.colour_temperature import cct_duv
from materials.light.spectra import Spectrum, blackbody, photometric_value, xyz
from scenes.arrangement.arrangement import CameraModel

from .exposure import Exposure

SETTINGS = ("iso", "shutter_s", "f_number")


@dataclass(frozen=True, eq=False)
class White:
    """The XYZ (3,) that is rendered neutral, and its kelvin: none of coloured light, which has none."""

    xyz: NDArray[np.float64]
    kelvin: float | None


@dataclass(frozen=True, eq=False)
class LockedExposure:
    """The exposure and the white balance that a frame is developed with."""

    exposure: Exposure
    white: White


def balance(camera: CameraModel, radiance: Sequence[Spectrum], weights: Sequence[float]) -> White:
    """Return the white that the arrangement fixes, or the lamps' own mix, each by its light on the subject."""
    if camera.white_balance != "auto":
        return White(xyz(blackbody(camera.white_balance)), camera.white_balance)
    total = sum(weights)
    shares = [w / total for w in weights] if total > 0 else [1.0 / len(weights)] * len(weights)
    mix = np.sum([s * r / photometric_value(r) for s, r in zip(shares, radiance, strict=True) if s > 0], axis=0)
    try:
        return White(xyz(mix), cct_duv(mix)[0])
    except ValueError:
        return White(xyz(mix), None)


def shortest_exposure(exposures: Sequence[Exposure]) -> Exposure:
    """Return the shortest of several exposures, so that no frame clips more than under its own."""
    return max(exposures, key=lambda exposure: exposure.saturation_cd_m2)


def bracketed(metered: Exposure, setting: str, values: Sequence[float], fixed: bool) -> list[Exposure]:
    """Return the exposures of which one setting takes each of `values` and the other two are locked.

    Of the value that lets in most the exposure is as `metered`: the shutter sees to that, or the ISO where the
    shutter is varied. With `fixed` settings nothing is made up for.
    """
    most = min(values) if setting == "f_number" else max(values)
    brightest = replace(metered, **{setting: most})
    if not fixed:
        other = "iso" if setting == "shutter_s" else "shutter_s"
        factor = brightest.saturation_cd_m2 / metered.saturation_cd_m2
        brightest = replace(brightest, **{other: getattr(metered, other) * factor})
    return [replace(brightest, **{setting: value}) for value in values]
