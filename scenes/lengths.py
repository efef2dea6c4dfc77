"""Lengths in words: distances as read off a tape measure, sizes of things as read off a ruler."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final, TypeAlias

HALVES_BELOW_CM: Final = 10.0
"""Distances below this are read to half a centimetre, others to a whole one."""
MM_BELOW_CM: Final = 2.0
"""What is smaller than this is measured in millimetres."""
WHOLE_FROM: Final = 100.0
"""From so many centimetres, a size has no millimetres."""
Reading: TypeAlias = Callable[[float], float]
"""Rounds a distance in cm to what is read off a tape."""


def tape_reading(cm: float) -> float:
    """Return a distance as read off a tape, cm: to half a centimetre below ten, else to a whole one."""
    halves = half_cm(cm)
    return halves if abs(halves) < HALVES_BELOW_CM else float(round(cm))


def half_cm(cm: float) -> float:
    """Return a distance as read off a tape to half a centimetre, cm."""
    return round(2 * cm) / 2 + 0.0


def string_reading(cm: float) -> float:
    """Return a distance along a string, cm: to half a centimetre, below ten to a millimetre."""
    return half_cm(cm) if abs(cm) >= HALVES_BELOW_CM else round(cm, 1) + 0.0


def distance_words(cm: float, reading: Reading = tape_reading) -> str:
    """Return a distance between things on a table: `7.5 cm`, `24 cm`."""
    return f"{reading(cm):g} cm"


def distance_words_up(cm: float) -> str:
    """Return the next distance on a tape that is not less: `3.5 cm` of 3.1, `25 cm` of 24.2."""
    step = 0.5 if cm <= HALVES_BELOW_CM - 0.5 else 1.0
    return distance_words(math.ceil(cm / step - 1e-6) * step)


def about_words(*sides_cm: float) -> str:
    """Return sides that may differ by some millimetres: `7.5 x 24 cm`."""
    return f"{' x '.join(f'{tape_reading(cm):g}' for cm in sides_cm)} cm"


def size_words(*sides_cm: float) -> str:
    """Return the sides of a thing in one unit, to a millimetre: `16.7 x 10 x 0.5 cm`, `9 x 3 x 0.4 mm`, `120 x 200 cm`.

    What is below the last digit has one significant digit.
    """
    sides, unit = _in_one_unit(sides_cm)
    return f"{' x '.join(sides)} {unit}"


def dimensions_words(width_cm: float, length_cm: float, height_cm: float) -> str:
    """Return the dimensions of a model: `11 cm wide, 7.8 cm long, 18 cm tall`."""
    (width, length, height), unit = _in_one_unit((width_cm, length_cm, height_cm))
    return f"{width} {unit} wide, {length} {unit} long, {height} {unit} tall"


def _in_one_unit(sides_cm: Sequence[float]) -> tuple[list[str], str]:
    """Return sides as digits, and their unit: millimetres where all are small."""
    unit, per_cm, step = ("mm", 10.0, 1.0) if max(sides_cm) < MM_BELOW_CM else ("cm", 1.0, 0.1)
    return [_digits(per_cm * cm, step) for cm in sides_cm], unit


def _digits(value: float, step: float) -> str:
    if value < step:
        return f"{float(f'{value:.1g}'):g}" if value > step / 100 else "0"
    return f"{round(value) if value >= WHOLE_FROM else round(value / step) * step:.6g}"
