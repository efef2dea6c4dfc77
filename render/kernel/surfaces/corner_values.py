"""Values at the corners of triangles, in the kernel: interpolated at points of surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.kernel.backend import mitsuba
from render.kernel.surface_point import SurfacePoint
from render.kernel.tables import float_table, integer_table


@dataclass
class CornerValues:
    """The four values at each point, whether its surface has any, its kind, and its bitmap.

    A bitmap is its first texel, its width and its height.
    """

    values: Any
    has_values: Any
    kind: Any
    bitmap: tuple[Any, Any, Any]


class CornerTable:
    """A table of values at corners, (triangles, 3, 4), with a row of 8 whole numbers for each surface.

    A row has the surface's first triangle in the scene's mesh; its first triangle in the table; whether it is there at
    all; its kind; first texel, width and height of its bitmap; one unused.
    """

    def __init__(self, rows: NDArray[np.uint32], corners: NDArray[np.float32]) -> None:
        self._rows, self._corners = integer_table(rows), float_table(corners)

    def lookup(self, point: SurfacePoint, surface: Any, active: Any) -> CornerValues:
        """Return the values at points of surfaces; triangles count in the whole scene."""
        import drjit as dr

        mi = mitsuba()
        first_triangle, first_corners, has_corners, kind = dr.gather(mi.Vector4u, self._rows, 2 * surface, active)
        first_texel, width, height, _ = dr.gather(mi.Vector4u, self._rows, 2 * surface + 1, active)
        has_values = active & (has_corners > 0)
        index = dr.select(has_values, 3 * (first_corners + point.triangle - first_triangle), 0)
        b, c = point.barycentric
        corners = [dr.gather(mi.Vector4f, self._corners, index + i, has_values) for i in range(3)]
        values = corners[0] * (1.0 - b - c) + corners[1] * b + corners[2] * c
        return CornerValues(values, has_values, kind, (first_texel, width, height))
