"""How large a model is: one stated size, a scale of a real size, or the unit of its file; never guessed."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from scenes.arrangement.sizing_model import Sizing
from scenes.errors import InputError
from scenes.lengths import size_words
from scenes.mesh.piece import CM_PER_UNIT
from scenes.units import M_PER_CM

from .file_unit import HOW_TO_SIZE, cm_by_file_unit

AXES = {"width_cm": 0, "length_cm": 1, "height_cm": 2}
SMALLEST_CM, LARGEST_CM = 0.5, 300.0


class StatedSize(NamedTuple):
    """A stated size: its key, the value in cm, and how it was written."""

    key: str
    cm: float
    words: str


def stated_size(sizing: Sizing) -> StatedSize | None:
    """Return the stated size, or None.

    Raises
    ------
    InputError
        If two sizes are stated, a real size without a scale, or a scale of nothing.
    """
    sizes = [
        StatedSize(key, value, f"{key} = {value:g}") for key in AXES if (value := getattr(sizing, key)) is not None
    ]
    sizes += _real_sizes(sizing)
    if len(sizes) > 1:
        found = " and ".join(size.words for size in sizes)
        raise InputError(f"the subject has two sizes, {found}: keep one, the other follows from the mesh")
    if not sizes and sizing.scale is not None and sizing.unit is None:
        raise InputError(
            f'scale = "{sizing.scale}" alone says no size: give one of the real thing, as --real-length-m 6.7, or, of '
            "a file as large as the real thing, its unit, as --unit m; in an arrangement real_length_m = 6.7 or "
            'unit = "m" under [subject]'
        )
    return sizes[0] if sizes else None


def _real_sizes(sizing: Sizing) -> list[StatedSize]:
    found = []
    for key in AXES:
        real = f"real_{key.removesuffix('_cm')}_m"
        if (value := getattr(sizing, real)) is not None:
            if sizing.scale is None:
                raise InputError(f'{real} is the size of the real thing: give scale = "1:35" beside it')
            found.append(StatedSize(key, value / M_PER_CM / _scale_ratio(sizing), f"{real} = {value:g}"))
    return found


def _scale_ratio(sizing: Sizing) -> float:
    """Return the ratio of the real size to the model's: 35 of 1:35, and 1 without a scale."""
    return 1.0 if sizing.scale is None else float(sizing.scale.partition(":")[2])


def cm_per_file_unit(
    file: str, file_unit: str | None, sizing: Sizing, extents: NDArray[np.floating[Any]]
) -> tuple[float, list[str]]:
    """Return the cm per unit of the file, and a note where size and unit disagree.

    Raises
    ------
    InputError
        Where no size is known, or it is out of the range that stands on a table.
    """
    stated = stated_size(sizing)
    if stated is None and sizing.unit is None:
        return cm_by_file_unit(file, file_unit, extents), []
    by_unit = CM_PER_UNIT[sizing.unit] / _scale_ratio(sizing) if sizing.unit else None
    factor, basis, notes = by_unit or 0.0, f'unit = "{sizing.unit}"', []
    if stated is not None:
        extent = extents[AXES[stated.key]]
        if extent <= 1e-9 * extents.max():
            word = stated.key.removesuffix("_cm")
            raise InputError(
                f"{file} has no {word}, so {stated.words} cannot scale it: state another size, or correct 'up'"
            )
        factor, basis = stated.cm / extent, stated.words
        if by_unit and abs(extent * by_unit / stated.cm - 1) > 0.01:
            found = size_words(extent * by_unit)
            notes = [f'{stated.words} was used: with unit = "{sizing.unit}" it would be {found}']
    size = extents.max() * factor
    if not SMALLEST_CM <= size <= LARGEST_CM:
        at_scale = f' and scale = "{sizing.scale}"' if sizing.scale else ""
        raise InputError(
            f"{file} would be {size_words(size)} large with {basis}{at_scale}, where {SMALLEST_CM:g} to "
            f"{LARGEST_CM:g} cm can stand on a table: check that, or {HOW_TO_SIZE}"
        )
    return float(factor), notes
