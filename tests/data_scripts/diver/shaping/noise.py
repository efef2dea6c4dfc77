"""Smooth random fields that are the same on every run: gradient noise on a hashed lattice."""

from __future__ import annotations

import numpy as np

from materials.arrays import Array

_CORNERS = np.array([(i, j, k) for i in (0, 1) for j in (0, 1) for k in (0, 1)])


def noise(points: Array, size: float, seed: int = 0) -> Array:
    """Return gradient noise, about -1 to 1, with features of the given size (cm)."""
    scaled = points / size
    cell = np.floor(scaled).astype(np.int64)
    place = scaled - cell
    fade = place**3 * (place * (place * 6 - 15) + 10)
    total = np.zeros(len(points))
    for corner in _CORNERS:
        slope = _gradient(cell + corner, seed)
        weight = np.prod(np.where(corner == 1, fade, 1.0 - fade), axis=1)
        total += weight * np.einsum("ij,ij->i", slope, place - corner)
    return np.asarray(1.6 * total)


def fractal(points: Array, size: float, octaves: int, seed: int = 0) -> Array:
    """Return noise summed over octaves, each of half the size and half the height of the last."""
    return np.asarray(sum(noise(points, size / 2**i, seed + i) / 2**i for i in range(octaves)))


def _gradient(lattice: np.ndarray[tuple[int, ...], np.dtype[np.int64]], seed: int) -> Array:
    """Return a repeatable direction for each lattice point; the constants are odd and otherwise arbitrary."""
    mixed = (lattice.astype(np.uint64) * np.array([73856093, 19349663, 83492791], np.uint64)).sum(axis=1)
    mixed = (mixed + np.uint64(seed * 2654435761 + 1)) * np.uint64(0x9E3779B97F4A7C15)
    mixed ^= mixed >> np.uint64(29)
    mixed *= np.uint64(0xBF58476D1CE4E5B9)
    mixed ^= mixed >> np.uint64(32)
    height = 2.0 * ((mixed & np.uint64(0xFFFF)).astype(float) / 65535.0) - 1.0
    turn = 2.0 * np.pi * ((mixed >> np.uint64(20)) & np.uint64(0xFFFF)).astype(float) / 65536.0
    flat = np.sqrt(np.maximum(1.0 - height**2, 0.0))
    return np.stack([flat * np.cos(turn), flat * np.sin(turn), height], axis=1)
