"""Shapes of emitters of unit radiance: the luminous opening of a lamp at its place, or the light of the room."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

import numpy as np

from materials.arrays import Vector
from scenes.fingerprint import fingerprint


@dataclass(frozen=True, eq=False)
class EmitterShape:
    """The luminous opening of a lamp, of radiance 1 straight ahead, or a room of radiance 1 from all round.

    Equal, and of equal hash, where kind, place and distribution are. Lengths are in any one unit.

    Parameters
    ----------
    kind
        A room has neither place nor size.
    at : (3,)
        Its centre.
    axes : (3, 3)
        Columns: width, height, the way it faces.
    half
        Half width and height of a panel, the radius twice of a disc or bulb, outer and inner radius of a ring.
    intensity : (rows, columns), optional
        None for a Lambertian opening or a bulb of even radiance. Else relative intensity: rows evenly from 0 to 180
        degrees from the way it faces, columns evenly from 0 to 360 degrees of turn, both ends included (0 towards the
        width axis, 90 towards the height axis; one column: a body of revolution), bilinear between. An opening of
        relative intensity i has relative radiance i / cos(polar), a bulb i. Its integral over directions is that of an
        even emitter, pi of an opening and 4 pi of a bulb, so that the etendue holds.

    Raises
    ------
    ValueError
        Where the kind is unknown, the sizes make no opening, or the table is none.
    """

    kind: Literal["panel", "disc", "ring", "bulb", "room"]
    at: Vector
    axes: Vector
    half: tuple[float, float]
    intensity: Vector | None = None

    def __post_init__(self) -> None:
        if self.kind == "room":
            return
        if self.kind not in ("panel", "disc", "ring", "bulb"):
            raise ValueError(f"an emitter is a panel, disc, ring, bulb or room, not {self.kind!r}")
        a, b = self.half
        if not (a > 0 and np.isfinite(a) and (0 <= b < a if self.kind == "ring" else 0 < b < np.inf)):
            raise ValueError(f"half {self.half} makes no {self.kind}")
        table = self.intensity
        if table is not None and (table.ndim != 2 or len(table) < 2 or not (np.isfinite(table) & (table >= 0)).all()):
            raise ValueError("a table of intensity has two rows or more, at least one column and no negative number")

    @cached_property
    def fingerprint(self) -> str:
        """A hash of its kind, place and distribution."""
        return fingerprint(self)

    def __eq__(self, other: object) -> bool:
        return self.fingerprint == other.fingerprint if isinstance(other, EmitterShape) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.fingerprint)

    @property
    def etendue(self) -> float:
        """Flux over radiance: area times pi, in square lengths and steradians; of a room lux over radiance, pi."""
        a, b = self.half
        match self.kind:
            case "room":
                return np.pi
            case "panel":
                return np.pi * 4 * a * b
            case "bulb":
                return np.pi * 4 * np.pi * a * a
            case "ring":
                return np.pi * np.pi * (a * a - b * b)
            case _:
                return np.pi * np.pi * a * a


ROOM: Final = EmitterShape("room", np.zeros(3), np.eye(3), (0.0, 0.0))
"""The light of a room, equal from all directions."""


def relative_intensity(table: Vector, way: Vector) -> Vector:
    """Return the relative intensity of unit vectors (..., 3) from the lamp."""
    rows, columns = table.shape
    row = np.arctan2(np.hypot(way[..., 0], way[..., 1]), way[..., 2]) / np.pi * (rows - 1)
    column = np.arctan2(way[..., 1], way[..., 0]) / (2 * np.pi) % 1.0 * (columns - 1)
    i = np.minimum(row.astype(int), rows - 2)
    j = np.minimum(column.astype(int), max(columns - 2, 0))
    k = np.minimum(j + 1, columns - 1)
    down, along = row - i, column - j
    upper = (1 - along) * table[i, j] + along * table[i, k]
    lower = (1 - along) * table[i + 1, j] + along * table[i + 1, k]
    return np.asarray((1 - down) * upper + down * lower)
