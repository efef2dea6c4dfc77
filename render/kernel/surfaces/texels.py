"""The texels of a bitmap that bilinear interpolation takes, repeating beyond the edges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from render.kernel.backend import mitsuba


def bilinear_texels(u: Any, v: Any, width: Any, height: Any) -> Iterator[tuple[Any, Any]]:
    """Yield the index and the weight of each of the four texels about (u, v), v upwards, row by row from the top."""
    import drjit as dr

    mi = mitsuba()
    columns, rows = (mi.Float(dr.maximum(size, 1)) for size in (width, height))
    x, y = (u - dr.floor(u)) * columns - 0.5, (dr.ceil(v) - v) * rows - 0.5
    left, upper = dr.floor(x), dr.floor(y)
    for right, lower in ((0, 0), (1, 0), (0, 1), (1, 1)):
        column, row = _repeat(left + right, columns), _repeat(upper + lower, rows)
        weight = (x - left if right else 1.0 - (x - left)) * (y - upper if lower else 1.0 - (y - upper))
        yield row * width + column, weight


def _repeat(index: Any, size: Any) -> Any:
    """Return an index modulo `size`, both whole Floats, as UInt32."""
    import drjit as dr

    return mitsuba().UInt32(index - dr.floor(index / size) * size)
