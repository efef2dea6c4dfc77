"""Grids and snoots: the transmittance of black tubes in front of a lamp."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

NARROWEST_GRID_DEG: Final = 2.0
WIDEST_GRID_DEG: Final = 170.0


@dataclass(frozen=True)
class Tube:
    """A round tube with black walls, or many side by side; called with polar angles in degrees, it gives transmittance.

    At an angle t the far end of a tube is shifted against the near one by length tan t, and light passes where the two
    circles overlap. As a fraction of the circle that is 2/pi (arccos x - x sqrt(1 - x^2)) with
    x = length tan t / diameter, and 0 from x = 1 on (the lens of two equal circles, Weisstein, "Circle-Circle
    Intersection", MathWorld). Walls are thin, and nothing is reflected in them.

    `length` is in diameters, above 0.
    """

    length: float

    def __post_init__(self) -> None:
        if not 0 < self.length < math.inf:
            raise ValueError(f"a tube of {self.length:g} diameters should have a length above 0")

    @property
    def cut_off_deg(self) -> float:
        """The polar angle beyond which nothing passes, degrees."""
        return math.degrees(math.atan(1 / self.length))

    def __call__(self, polar_deg: ArrayLike) -> NDArray[np.float64]:
        """Return the transmittance, 0 to 1, of the shape of `polar_deg`."""
        polar = np.asarray(polar_deg, dtype=np.float64)
        ahead = np.where(polar < 90, polar, 0.0)
        shift = np.where(polar < 90, np.minimum(self.length * np.tan(np.radians(ahead)), 1.0), 1.0)
        return np.asarray(2 / np.pi * (np.arccos(shift) - shift * np.sqrt(1 - shift**2)))


def grid(grid_deg: float) -> Tube:
    """Return a honeycomb grid by the angle that it is sold by, here the full angle beyond which it is black.

    Half of it is the cut-off angle of a cell, atan(width / depth). That the name means the full angle, as that of a
    beam does, is common practice, no source; square and six-sided cells are taken as round ones.

    Raises ValueError outside 2 to 170 degrees.
    """
    if not NARROWEST_GRID_DEG <= grid_deg <= WIDEST_GRID_DEG:
        raise ValueError(
            f"a grid of {grid_deg:g} degrees should be one of {NARROWEST_GRID_DEG:g} to {WIDEST_GRID_DEG:g}"
        )
    return Tube(1 / math.tan(math.radians(grid_deg / 2)))


def snoot(length_cm: float, diameter_cm: float) -> Tube:
    """Return a black tube in front of an opening as wide as itself; ValueError unless both numbers are above 0."""
    if not (0 < diameter_cm < math.inf and 0 < length_cm < math.inf):
        raise ValueError(f"a snoot {diameter_cm:g} cm wide and {length_cm:g} cm long should be above 0 in both")
    return Tube(length_cm / diameter_cm)
