"""The person's photograph beside the predicted frame: cropped, in the frame's exposure, and the settings compared."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from gallery.files.scaling import linear_at_width
from materials.colour.srgb import srgb_encode
from render.frame import Frame
from render.readings.highlights import relative_luminance
from scenes.units import ratio, stops

from .comparison_words import comparison_words
from .photograph import Photograph

DARK: Final = 1e-3
"""Relative luminance that counts as black, so that a few black pixels do not rule a mean of logarithms."""
MOST_STOPS: Final = 4.0
"""That a photograph is made brighter or darker by."""


@dataclass(frozen=True, eq=False)
class Comparison:
    """A photograph set beside a frame.

    Parameters
    ----------
    rgb : (height, width, 3)
        The photograph, cropped to the frame's shape and in its exposure, 8-bit sRGB.
    sentences
        What was done to it, and how its settings and its light differ from the plan.
    """

    rgb: NDArray[np.uint8]
    sentences: tuple[str, ...]


def compare(photograph: Photograph, frame: Frame, width: int) -> Comparison:
    """Return a photograph, at most so many pixels wide, beside a frame; it is not aligned.

    They are compared at the pixels of the frame, or of the photograph where it has fewer.
    """
    height_px, width_px = frame.rgb.shape[:2]
    crop = cropped(photograph.rgb, width_px / height_px)
    compared_px = min(width_px, crop.shape[1])
    gap = stops(
        _mean_luminance(linear_at_width(crop, compared_px)) / _mean_luminance(linear_at_width(frame.rgb, compared_px))
    )
    gain = float(np.clip(-gap, -MOST_STOPS, MOST_STOPS))
    shown = srgb_encode((linear_at_width(crop, width) * ratio(gain)).clip(0.0, 1.0))
    return Comparison(
        np.round(shown * 255).astype(np.uint8), tuple(comparison_words(photograph.settings, frame, gap, gain))
    )


def cropped(rgb: NDArray[np.uint8], aspect: float) -> NDArray[np.uint8]:
    """Return the middle of a picture, as large as it has of an aspect, width over height."""
    height, width = rgb.shape[:2]
    rows, columns = min(height, max(1, round(width / aspect))), min(width, max(1, round(height * aspect)))
    top, left = (height - rows) // 2, (width - columns) // 2
    return rgb[top : top + rows, left : left + columns]


def _mean_luminance(linear: NDArray[np.float32]) -> float:
    """Return the geometric mean of the relative luminance of linear sRGB."""
    return float(np.exp(np.log(np.maximum(relative_luminance(linear), DARK)).mean()))
