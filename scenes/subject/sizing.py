"""How large a model is: one stated size, a scale of a real size, or the unit of its file; never guessed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from scenes.errors import InputError, nearest
from scenes.mesh.piece import CM_PER_UNIT
from scenes.units import M_PER_CM

UNITS = ("mm", "cm", "m", "in")
AXES = {"width_cm": 0, "length_cm": 1, "height_cm": 2}
SMALLEST_CM, LARGEST_CM = 0.5, 300.0
HOW_TO_SIZE = (
    "give one size, as --height-cm 18 (or --length-cm, --width-cm) on the command line, "
    'or as height_cm = 18 or unit = "mm" under [subject] in the arrangement'
)


_HOW_TO_SCALE = (
    'beside scale, give unit = "m" or another, where the file is as large as the real thing, or one real size, '
    "as real_length_m = 6.7"
)


class Stated(NamedTuple):
    """One stated size: the axis that it holds for, cm, and how it was said."""

    key: str
    cm: float
    said: str


@dataclass(frozen=True)
class Scaling:
    """How large the model is: at most one size in cm, length running front to back; or the file's unit.

    Or a `scale` such as "1:35" of one real size in m; of a file in real size, `scale` and its unit.
    """

    height_cm: float | None = None
    length_cm: float | None = None
    width_cm: float | None = None
    unit: str | None = None
    scale: str | None = None
    real_height_m: float | None = None
    real_length_m: float | None = None
    real_width_m: float | None = None

    def stated(self) -> Stated | None:
        """Return the stated size, or none.

        Raises
        ------
        InputError
            If two sizes are stated, one is not above zero, a real size has no scale, or the unit is unknown.
        """
        sizes = [Stated(key, value, f"{key} = {value:g}") for key in AXES if (value := getattr(self, key)) is not None]
        sizes += self._real_sizes()
        if len(sizes) > 1:
            found = " and ".join(size.said for size in sizes)
            raise InputError(f"the subject has two sizes, {found}: keep one, the other follows from the mesh")
        if sizes and not 0 < sizes[0].cm < np.inf:
            raise InputError(f"{sizes[0].said.replace(' = ', ' is ')}: a size has to be above 0 cm")
        if self.unit is not None and self.unit not in UNITS:
            raise InputError(f"unit is '{self.unit}'{nearest(self.unit, UNITS)}")
        return sizes[0] if sizes else None

    def _real_sizes(self) -> list[Stated]:
        found = []
        for key in AXES:
            real = f"real_{key.removesuffix('_cm')}_m"
            if (value := getattr(self, real)) is not None:
                if self.scale is None:
                    raise InputError(f'{real} is the size of the real thing: give scale = "1:35" beside it')
                found.append(Stated(key, value / M_PER_CM / self.ratio, f"{real} = {value:g}"))
        return found

    @property
    def ratio(self) -> float:
        """What real things are larger by than their model: 35 of 1:35, 1 without a scale."""
        if self.scale is None:
            return 1.0
        ratio = float(self.scale.partition(":")[2])
        if not ratio > 0:
            raise InputError(f'scale = "{self.scale}": it should be as "1:35", with a number above 0')
        return ratio


def cm_per_file_unit(
    file: str, file_unit: str | None, scaling: Scaling, extents: NDArray[np.floating[Any]]
) -> tuple[float, list[str]]:
    """Return the scale from a file's unit to cm, and a doubt where size and unit disagree.

    Raises
    ------
    InputError
        Where no size is known, or it cannot stand on a table.
    """
    stated = scaling.stated()
    by_unit = CM_PER_UNIT.get(scaling.unit or "")
    known = by_unit or CM_PER_UNIT.get(file_unit or "")
    doubts = []
    if stated is None:
        if known is None:
            raise InputError(f"{file} states no unit: {_HOW_TO_SCALE if scaling.scale else HOW_TO_SIZE}")
        factor = known / scaling.ratio
    else:
        extent = extents[AXES[stated.key]]
        if extent <= 1e-9 * extents.max():
            word = stated.key.removesuffix("_cm")
            raise InputError(
                f"{file} has no {word}, so {stated.said} cannot scale it: state another size, or correct 'up'"
            )
        factor = stated.cm / extent
        if by_unit and abs(extent * by_unit / scaling.ratio / stated.cm - 1) > 0.01:
            found = f"{extent * by_unit / scaling.ratio:.3g}"
            doubts.append(f'{stated.said} was used: with unit = "{scaling.unit}" it would be {found} cm')
    size = extents.max() * factor
    if not SMALLEST_CM <= size <= LARGEST_CM:
        basis = stated.said if stated else f'unit = "{scaling.unit or file_unit}"'
        at_scale = f' and scale = "{scaling.scale}"' if scaling.scale else ""
        raise InputError(
            f"{file} would be {size:.3g} cm large with {basis}{at_scale}, where {SMALLEST_CM:g} to "
            f"{LARGEST_CM:g} cm can stand on a table: check that, or {HOW_TO_SIZE}"
        )
    return float(factor), doubts
