"""Luminous intensity of a lamp by direction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Array, frozen

NARROWEST_BEAM_DEG: Final = 2.0
WIDEST_BEAM_DEG: Final = 170.0

_FINE_DEG: Final = 0.1  # the step between directions where a product or a cosine is sampled


@dataclass(frozen=True, eq=False)
class Distribution:
    """Luminous intensity by direction, a straight line between neighbouring directions, and 0 beyond the last.

    polar_deg
        (n,) rising from 0, the way the lamp faces, to at most 180.
    turn_deg
        (m,) rising from 0 to 360 about the way it faces: 0 towards the lamp's width axis, 90 towards its height
        axis. `(0,)` for a body of revolution.
    intensity
        (n, m) in any unit, at least 0; the first and the last column of several are equal.

    Raises
    ------
    ValueError
        Where the arrays are none of that, or there is no light.
    """

    polar_deg: Array
    turn_deg: Array
    intensity: Array

    def __post_init__(self) -> None:
        for name in ("polar_deg", "turn_deg", "intensity"):
            object.__setattr__(self, name, frozen(np.array(getattr(self, name), dtype=np.float64)))
        _check_angles(self.polar_deg, self.turn_deg)
        shape = (len(self.polar_deg), len(self.turn_deg))
        if self.intensity.shape != shape:
            raise ValueError(f"intensity has the shape {self.intensity.shape}, its angles ask for {shape}")
        if not np.all(np.isfinite(self.intensity)) or np.any(self.intensity < 0):
            raise ValueError("an intensity is negative or no number")
        if np.any(self.intensity[:, 0] != self.intensity[:, -1]):
            raise ValueError("the intensities at a turn of 0 and of 360 degrees differ")
        with np.errstate(over="ignore", invalid="ignore"):  # the sum says so
            flux = self.flux()
        if not 0 < flux < np.inf:
            raise ValueError("the lamp shines nowhere" if flux == 0 else "the intensities are too large")

    @classmethod
    def lambertian(cls) -> Distribution:
        """Return the intensity of a flat opening of even radiance, 1 straight ahead (Lambert's cosine law)."""
        polar = np.linspace(0, 90, round(90 / _FINE_DEG) + 1)
        return cls._round(polar, _cosine(polar))

    @classmethod
    def uniform(cls) -> Distribution:
        """Return the intensity of a ball of even radiance, 1 in every direction."""
        return cls._round(np.array([0.0, 180.0]), np.ones(2))

    @classmethod
    def beam(cls, beam_deg: float) -> Distribution:
        """Return a beam, 1 straight ahead: the power of the cosine that is half at half the beam angle.

        `beam_deg`, 2 to 170, is the full angle between directions of half the peak intensity ("beam angle" of
        ANSI/IES LS-1 (memory)). Raises ValueError for another.
        """
        if not NARROWEST_BEAM_DEG <= beam_deg <= WIDEST_BEAM_DEG:
            raise ValueError(
                f"a beam of {beam_deg:g} degrees should be one of {NARROWEST_BEAM_DEG:g} to {WIDEST_BEAM_DEG:g}"
            )
        half_deg = beam_deg / 2
        power = np.log(0.5) / np.log(np.cos(np.radians(half_deg)))
        close = half_deg * np.linspace(0, 4, 161)  # where a narrow beam has its light
        level = 90 * np.sin(np.linspace(0, np.pi / 2, 361))  # where a wide one ends steeply
        polar = np.union1d(close[close < 90], level)
        return cls._round(polar, _cosine(polar) ** power)

    @classmethod
    def _round(cls, polar_deg: Array, intensity: Array) -> Distribution:
        return cls(polar_deg, np.zeros(1), intensity[:, None])

    @property
    def is_round(self) -> bool:
        """Whether it is rotationally symmetric."""
        return len(self.turn_deg) == 1

    def at(self, polar_deg: ArrayLike, turn_deg: ArrayLike = 0.0) -> Array:
        """Return the intensity in directions, of the shape to which the angles broadcast; `turn_deg` may be any."""
        polar, turn = np.broadcast_arrays(np.asarray(polar_deg, float), np.asarray(turn_deg, float) % 360.0)
        row, down = _between(self.polar_deg, polar)
        column, across = _between(self.turn_deg, turn)
        rows, columns = self.intensity.shape
        next_row, next_column = np.minimum(row + 1, rows - 1), np.minimum(column + 1, columns - 1)
        upper = (1 - across) * self.intensity[row, column] + across * self.intensity[row, next_column]
        lower = (1 - across) * self.intensity[next_row, column] + across * self.intensity[next_row, next_column]
        return np.where(polar <= self.polar_deg[-1], (1 - down) * upper + down * lower, 0.0)

    def flux(self, to_deg: float = 180.0) -> float:
        """Return the flux up to a polar angle: intensity times steradians, exact for the straight lines between.

        A trapezium is exact about the turn. Over the polar angle t, a line from p at t0 to q at t1 times sin t gives
        p (cos t0 - s) + q (s - cos t1), where s = (sin t1 - sin t0) / (t1 - t0).
        """
        end = min(to_deg, float(self.polar_deg[-1]))
        angles = np.append(self.polar_deg[self.polar_deg < end], end)
        ring = np.interp(angles, self.polar_deg, self._around())
        first, last = np.radians(angles[:-1]), np.radians(angles[1:])
        slope = np.cos((first + last) / 2) * np.sinc((last - first) / (2 * np.pi))
        # the weights are never negative, but their last digit may be
        from_first, from_last = np.maximum(np.cos(first) - slope, 0), np.maximum(slope - np.cos(last), 0)
        return float(ring[:-1] @ from_first + ring[1:] @ from_last)

    def _around(self) -> Array:
        """Return the integral over the azimuth at each polar angle, (n,)."""
        if self.is_round:
            return np.asarray(2 * np.pi * self.intensity[:, 0])
        steps = np.radians(np.diff(self.turn_deg))
        return np.asarray((self.intensity[:, :-1] / 2 + self.intensity[:, 1:] / 2) @ steps)

    def front_share(self) -> float:
        """Return the share of the flux at polar angles up to 90 degrees, all that a flat opening emits."""
        return self.flux(90.0) / self.flux()

    def times(self, factor: Callable[[Array], Array]) -> Distribution:
        """Return this light through something that lets a part through by polar angle in degrees, (n,) to (n,).

        Raises ValueError where nothing is let through.
        """
        polar = np.union1d(self.polar_deg, np.arange(0, self.polar_deg[-1], _FINE_DEG))
        return Distribution(polar, self.turn_deg, self.at(polar[:, None], self.turn_deg) * factor(polar)[:, None])

    def table(self, total: float = 1.0, to_deg: float = 180.0, rows: int = 361, columns: int = 73) -> Array:
        """Return intensities at even steps, (rows, columns), for a lookup with straight lines between them.

        Rows are polar angles from 0 to 180 degrees, columns turns from 0 to 360; a body of revolution has one column.
        The flux of these lines, not of this distribution's own, is `total` up to `to_deg`; beyond, the scale goes on.

        Raises ValueError where there is no light up to `to_deg`.
        """
        polar, turn = np.linspace(0, 180, rows), np.linspace(0, 360, 1 if self.is_round else columns)
        sampled = Distribution(polar, turn, self.at(polar[:, None], turn))
        flux = sampled.flux(to_deg)
        if flux == 0:
            raise ValueError(f"the lamp sends no light up to {to_deg:g} degrees from the way it faces")
        return np.asarray(sampled.intensity / flux * total)


def _cosine(polar_deg: Array) -> Array:
    return np.where(polar_deg < 90, np.cos(np.radians(polar_deg)), 0.0)


def _between(nodes: Array, x: Array) -> tuple[NDArray[np.intp], Array]:
    """Return the index of the node before each x, and the fraction of the way to the next."""
    if len(nodes) == 1:
        return np.zeros(x.shape, dtype=np.intp), np.zeros(x.shape)
    before = np.clip(np.searchsorted(nodes, x, side="right") - 1, 0, len(nodes) - 2)
    return before, np.clip((x - nodes[before]) / (nodes[before + 1] - nodes[before]), 0, 1)


def _check_angles(polar_deg: Array, turn_deg: Array) -> None:
    for name, angles in (("polar", polar_deg), ("turn", turn_deg)):
        if angles.ndim != 1 or len(angles) == 0 or not np.all(np.isfinite(angles)):
            raise ValueError(f"the {name} angles are no list of numbers")
        if angles[0] != 0 or np.any(np.diff(angles) <= 0):
            raise ValueError(f"the {name} angles should rise from 0")
    if len(polar_deg) < 2 or polar_deg[-1] > 180:
        raise ValueError("the polar angles should be two or more, and end at 180 degrees at most")
    if len(turn_deg) > 1 and turn_deg[-1] != 360:
        raise ValueError("the turn angles should end at 360 degrees, or be 0 alone")
