"""Exposure, development and sRGB encoding, in absolute units.

Exposure by ISO 12232: a pixel saturates at the luminance L where q L t S / N2 = 78, q = 0.65; t is the shutter time
in s, S the ISO speed, N the f-number.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from materials.colour.adaptation import bradford_matrix
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB, srgb_encode
from materials.light.observer import D65_XYZ
from scenes.arrangement.arrangement import CameraModel
from scenes.stage.cameras import camera_kinds

SATURATION = 78.0  # lx s at ISO 1, ISO 12232:2006
INCIDENT = 250.0  # lx s at ISO 1, ISO 2720
LENS = 0.65  # q of ISO 12232: the exposure of the film is q L t / N2
BRIGHT_PERCENTILE, BRIGHT_LEVEL = (
    95.0,
    0.6,
)  # of the subject's luminance, relative to saturation: headroom for highlights
PEAK_PERCENTILE, PEAK_LEVEL = 98.0, 1.0  # limits the part of the subject that clips
STOP_FRACTION = 3  # cameras step in thirds of a stop


@dataclass(frozen=True)
class Exposure:
    """Shutter in s, ISO, f-number."""

    shutter_s: float
    iso: float
    f_number: float

    @property
    def saturation_cd_m2(self) -> float:
        """The luminance at which a pixel saturates, cd/m2."""
        return SATURATION * self.f_number**2 / (LENS * self.shutter_s * self.iso)

    @property
    def ev100(self) -> float:
        """The exposure value at ISO 100: log2(100 N2 / (t S))."""
        return math.log2(100.0 * self.f_number**2 / (self.shutter_s * self.iso))

    @property
    def incident_lux(self) -> float:
        """The reading of an incident light meter that asks for this exposure, lx (ISO 2720, C = 250)."""
        return INCIDENT * self.f_number**2 / (self.shutter_s * self.iso)


def choose_exposure(camera: CameraModel, luminance: NDArray[np.float32], subject: NDArray[np.float32]) -> Exposure:
    """Return the exposure that the arrangement fixes, or an automatic one, metered on the subject.

    The automatic one brings the 95th percentile of the subject's luminance to 60 % of saturation, or less where more
    than 2 % of the subject would clip, in thirds of a stop. An empty subject is replaced by the whole frame.

    Parameters
    ----------
    luminance : (height, width)
        cd/m2.
    subject : (height, width)
        Fraction of each pixel that the subject covers.
    """
    kind = camera_kinds()[camera.kind]
    f_number = camera.f_number or kind.f_number
    if camera.shutter_s is not None and camera.iso is not None:
        return Exposure(camera.shutter_s, camera.iso, f_number)
    metered = luminance[subject > 0.5] if (subject > 0.5).any() else luminance.ravel()
    bright = float(np.percentile(metered, BRIGHT_PERCENTILE)) / BRIGHT_LEVEL
    peak = float(np.percentile(metered, PEAK_PERCENTILE)) / PEAK_LEVEL
    saturation = max(bright, peak, 1e-3)
    ev = math.log2(saturation * LENS / SATURATION * 100.0)
    ev = math.ceil(ev * STOP_FRACTION) / STOP_FRACTION
    return Exposure(100.0 * f_number**2 / (kind.iso * 2.0**ev), kind.iso, f_number)


def develop(xyz: NDArray[np.float32], exposure: Exposure, white_xyz: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return linear sRGB, 1 where the sensor saturates, of XYZ in cd/m2; both (height, width, 3).

    `white_xyz` (3,) is adapted to D65 (Bradford) and so rendered neutral.
    """
    to_rgb = XYZ_TO_LINEAR_SRGB @ bradford_matrix(white_xyz / white_xyz[1], D65_XYZ)
    linear: NDArray[np.float32] = xyz @ (to_rgb.T / exposure.saturation_cd_m2).astype(np.float32)
    return linear


def encode(linear: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return 8-bit sRGB (IEC 61966-2-1) of linear sRGB, clipped to 0 to 1."""
    encoded: NDArray[np.uint8] = np.round(255.0 * srgb_encode(np.clip(linear, 0.0, 1.0))).astype(np.uint8)
    return encoded
