"""Directions and distances in the table frame: cm, x camera right, y away from the camera, z up."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Vector

AnyFloat = TypeVar("AnyFloat", np.float32, np.float64)
STRAIGHT_UP = 1.0 - 1e-9
SHORTEST = 1e-150
"""Of a vector with a direction: squares of shorter ones leave the range of floating point."""


def unit(vector: ArrayLike) -> Vector:
    """Return a vector scaled to length one.

    Raises
    ------
    ValueError
        Where the vector has no direction.
    """
    v = np.asarray(vector, dtype=float)
    length = float(np.linalg.norm(v))
    if not SHORTEST < length < np.inf:
        raise ValueError(f"{v.tolist()} has no direction")
    return v / length


def axes_facing(direction: ArrayLike) -> Vector:
    """Return the (3, 3) matrix of columns (width, height, normal) of a board that faces `direction`.

    The width is level. Facing straight up or down, where a look-at matrix is undefined, the width lies along x.
    """
    normal = unit(direction)
    upright = abs(normal[2]) >= STRAIGHT_UP
    along_x = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
    width = unit(along_x if upright else np.cross([0.0, 0.0, 1.0], normal))
    return np.column_stack([width, np.cross(normal, width), normal])


def direction_round(round_deg: float, rise_deg: float) -> Vector:
    """Return the unit vector from a centre at an azimuth `round_deg` and an elevation `rise_deg`.

    Azimuth 0 points to the camera, +90 to camera right, 180 away from the camera.
    """
    a, e = np.radians([round_deg, rise_deg])
    return np.array([np.sin(a) * np.cos(e), -np.cos(a) * np.cos(e), np.sin(e)])


def round_and_rise(vector: ArrayLike) -> tuple[float, float]:
    """Return (round_deg, rise_deg) of a vector from a centre: the inverse of `direction_round`."""
    x, y, z = unit(vector)
    return float(np.degrees(np.arctan2(x, -y))), float(np.degrees(np.arcsin(np.clip(z, -1.0, 1.0))))


def turned(vectors: NDArray[AnyFloat], degrees: float) -> NDArray[AnyFloat]:
    """Return (n, 3) vectors rotated about the vertical axis; positive degrees turn a front to camera right."""
    cosine, sine = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    of_rows = np.array([[cosine, sine, 0], [-sine, cosine, 0], [0, 0, 1]], vectors.dtype)
    return np.asarray(vectors @ of_rows)


def corners(at_cm: ArrayLike, facing: ArrayLike, size_cm: tuple[float, float]) -> Vector:
    """Return the (4, 3) corners of a board of `size_cm` (width, height) centred at `at_cm`."""
    axes = axes_facing(facing)
    half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * np.asarray(size_cm, dtype=float) / 2
    return np.asarray(np.asarray(at_cm, dtype=float) + half @ axes[:, :2].T)


def distance_to_board(points_cm: Vector, at_cm: ArrayLike, facing: ArrayLike, size_cm: tuple[float, float]) -> Vector:
    """Return the distance in cm of each of (n, 3) points from a flat board."""
    local = (points_cm - np.asarray(at_cm, dtype=float)) @ axes_facing(facing)
    local[:, :2] = np.maximum(np.abs(local[:, :2]) - np.asarray(size_cm, dtype=float) / 2, 0.0)
    distance: Vector = np.linalg.norm(local, axis=1)
    return distance
