"""What another light of the same white does to colours, on the test-colour samples of CIE 13.3-1995."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from materials.arrays import Array
from materials.light.illuminants import tabulated_spectra
from materials.light.observer import COLOUR_MATCHING, D65_XYZ
from materials.light.spectra import Spectrum

from .adaptation import bradford_matrix
from .difference import ciede2000
from .lab import xyz_to_lab

SAMPLES: Final = (
    "light greyish red", "dark greyish yellow", "strong yellow green", "moderate yellowish green", "light bluish green",
    "light blue", "light violet", "light reddish purple", "strong red", "strong yellow", "strong green", "strong blue",
    "skin", "leaf green",
)  # fmt: skip
"""The test-colour samples in words, as CIE 13.3-1995 has them, the last two shortened."""


@dataclass(frozen=True)
class LightChange:
    """CIEDE2000 of the test-colour samples between two lights: their mean, their worst, and which that is."""

    mean: float
    worst: float
    sample: str


def light_change(light: Spectrum, other: Spectrum) -> LightChange:
    """Return what changes where one light, (351,), is replaced by another, the camera balanced to each."""
    apart = ciede2000(_balanced_lab(light), _balanced_lab(other))
    return LightChange(float(apart.mean()), float(apart.max()), SAMPLES[int(np.argmax(apart))])


def _balanced_lab(light: Spectrum) -> Array:
    """Return Lab under D65 of the samples, (14, 3), adapted to it from a light."""
    reflectances = np.array([*tabulated_spectra("test_colours.csv").values()])
    white = COLOUR_MATCHING @ light / (COLOUR_MATCHING[1] @ light)
    values = (reflectances * light) @ COLOUR_MATCHING.T / (COLOUR_MATCHING[1] @ light)
    return np.array([xyz_to_lab(xyz) for xyz in values @ bradford_matrix(white, D65_XYZ).T])
