"""Relative intensity by direction, as photometric files give it."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.kernel.backend import mitsuba
from render.kernel.opaque import opaque_float
from render.kernel.tables import float_table


class IntensityTable:
    """A lamp's `intensity`, (rows, columns), as a table that lanes look up, bilinear."""

    def __init__(self, table: NDArray[np.float64]) -> None:
        closed = np.broadcast_to(table, (len(table), max(2, table.shape[1])))
        rows, columns = closed.shape
        neighbours = np.stack([closed[:, :-1], closed[:, 1:]], axis=-1)
        self._values = float_table(neighbours)
        self._rows, self._columns = opaque_float(rows - 1), opaque_float(columns - 1)

    def lookup(self, leaving: Any) -> Any:
        """Return the intensity in a direction, given along the lamp's width, height and facing axes."""
        import drjit as dr

        mi = mitsuba()
        polar = dr.atan2(dr.sqrt(leaving.x * leaving.x + leaving.y * leaving.y), leaving.z)
        azimuth = dr.atan2(leaving.y, leaving.x) * dr.inv_two_pi
        row = polar * dr.inv_pi * self._rows
        column = (azimuth - dr.floor(azimuth)) * self._columns
        upper = dr.minimum(dr.floor(row), self._rows - 1.0)
        left = dr.minimum(dr.floor(column), self._columns - 1.0)
        cell = mi.UInt32(upper * self._columns + left)
        first, second = dr.gather(mi.Vector2f, self._values, cell)
        low = dr.lerp(first, second, column - left)
        first, second = dr.gather(mi.Vector2f, self._values, cell + mi.UInt32(self._columns))
        return dr.lerp(low, dr.lerp(first, second, column - left), row - upper)
