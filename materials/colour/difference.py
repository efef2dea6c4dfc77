"""CIEDE2000 colour differences (ISO/CIE 11664-6; Sharma, Wu and Dalal, Color Res. Appl. 30, 21, 2005)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array


def ciede2000(lab: ArrayLike, other: ArrayLike) -> Array:
    """Return the CIEDE2000 difference (...) of two colours in Lab, (..., 3); one is just visible side by side.

    L, a', C' and h' and their means are those of the source, with k_L = k_C = k_H = 1.
    """
    (lightness_1, a_1, b_1), (lightness_2, a_2, b_2) = (np.moveaxis(np.asarray(c, float), -1, 0) for c in (lab, other))
    stretch = 1.5 - 0.5 * _saturating((np.hypot(a_1, b_1) + np.hypot(a_2, b_2)) / 2)
    chroma_1, chroma_2 = np.hypot(stretch * a_1, b_1), np.hypot(stretch * a_2, b_2)
    hue_1, hue_2 = (np.degrees(np.arctan2(b, stretch * a)) % 360 for a, b in ((a_1, b_1), (a_2, b_2)))
    is_grey = chroma_1 * chroma_2 == 0
    turn = np.where(is_grey, 0.0, (hue_2 - hue_1 + 180) % 360 - 180)
    hue = np.where(is_grey, hue_1 + hue_2, hue_1 + turn / 2)
    chroma, lightness = (chroma_1 + chroma_2) / 2, (lightness_1 + lightness_2) / 2
    offset = (lightness - 50) ** 2
    by_lightness = (lightness_2 - lightness_1) / (1 + 0.015 * offset / np.sqrt(20 + offset))
    by_chroma = (chroma_2 - chroma_1) / (1 + 0.045 * chroma)
    hue_distance = 2 * np.sqrt(chroma_1 * chroma_2) * np.sin(np.radians(turn) / 2)
    by_hue = hue_distance / (1 + 0.015 * chroma * _hue_weight(hue))
    rotation = -2 * _saturating(chroma) * np.sin(np.radians(60 * np.exp(-((((hue % 360) - 275) / 25) ** 2))))
    return np.asarray(np.sqrt(by_lightness**2 + by_chroma**2 + by_hue**2 + rotation * by_chroma * by_hue))


def _saturating(chroma: Array) -> Array:
    """Return sqrt(C^7 / (C^7 + 25^7)): 0 for greys, near 1 beyond a chroma of 50."""
    return np.asarray(np.sqrt(chroma**7 / (chroma**7 + 25.0**7)))


def _hue_weight(hue_deg: Array) -> Array:
    """Return T, the dependence of the weight of hue on the mean hue."""
    terms = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    return np.asarray(1 + sum(size * np.cos(np.radians(times * hue_deg + by)) for size, times, by in terms))
