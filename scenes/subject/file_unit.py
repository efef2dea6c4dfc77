"""The size of a model by the unit that its file states; where that is no size of a model, what to say instead."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.lengths import dimensions_words, size_words
from scenes.mesh.piece import CM_PER_UNIT

USUAL_CM: Final = (1.0, 60.0)
"""Largest dimension of a model, from a small figure to what still stands on a table."""
ROUNDING: Final = 1e-4
"""Of a size in single precision."""
LIKELY_CM: Final = (5.0, 60.0)
"""Largest dimension from which a unit is proposed."""
SCALES: Final = (6, 10, 12, 16, 24, 35, 48, 72, 144, 350, 700)
"""Common practice, no source; the first that makes a model `SCALED_CM` or less is proposed."""
SCALED_CM: Final = 30.0
SPELLED: Final = {
    "mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "micron": "micrometres",
    "millimeter": "millimetres", "centimeter": "centimetres", "inch": "inches", "foot": "feet", "meter": "metres",
}  # fmt: skip
"""Units in words, by the names that files have for them."""
UNITS: Final = ("mm", "cm", "in", "m")
"""Those that can be stated."""
HOW_TO_SIZE: Final = (
    "give one size, as --height-cm 18 (or --length-cm, --width-cm), or the unit that it is in, as --unit mm; "
    'in an arrangement height_cm = 18 or unit = "mm" under [subject]'
)


def cm_by_file_unit(file: str, unit: str | None, extents: NDArray[np.floating[Any]]) -> float:
    """Return the cm of a file's own unit; `extents` (3,) are width, length and height in it.

    Raises
    ------
    InputError
        Where the file states none, or that makes it larger or smaller than models are: with what could be stated.
    """
    largest = float(extents.max())
    if unit is None:
        hints = "".join(f"; {hint}" for hint in _unit_hints(largest, set()))
        raise InputError(f"{file} states no unit: {HOW_TO_SIZE}{hints}")
    cm = CM_PER_UNIT[unit]
    if not USUAL_CM[0] * (1 - ROUNDING) <= cm * largest <= USUAL_CM[1] * (1 + ROUNDING):
        hints = "".join(f"; {hint}" for hint in (*_scale_hint(cm * largest, unit), *_unit_hints(largest, {cm})))
        raise InputError(
            f"{file} is {dimensions_words(*cm * extents)} by the {SPELLED[unit]} that it states, where a model has "
            f"{USUAL_CM[0]:g} to {USUAL_CM[1]:g} cm: say how large yours is, as --height-cm 18, "
            f"or height_cm = 18 under [subject]{hints}"
        )
    return cm


def _scale_hint(large_cm: float, unit: str) -> list[str]:
    """Return the scale at which a thing in real size is as large as a model."""
    stated = next((name for name in UNITS if SPELLED[name] == SPELLED[unit]), None)
    ratio = next((n for n in SCALES if large_cm / n <= SCALED_CM), None)
    if stated is None or ratio is None or large_cm <= USUAL_CM[1]:
        return []
    scaled = size_words(large_cm / ratio)
    return [f"if it is as large as the real thing, --unit {stated} --scale 1:{ratio} makes it {scaled} large"]


def _unit_hints(largest: float, without_cm: set[float]) -> list[str]:
    """Return the units in which a file would be as large as models are, each with how large that is."""
    sizes = {unit: CM_PER_UNIT[unit] * largest for unit in UNITS if CM_PER_UNIT[unit] not in without_cm}
    likely = {unit: cm for unit, cm in sizes.items() if LIKELY_CM[0] <= cm <= LIKELY_CM[1]}
    return [f"--unit {unit} makes it {size_words(cm)} large" for unit, cm in likely.items()]
