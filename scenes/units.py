"""Conversions between units of the interface and those of the physics."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

M_PER_CM = 0.01


def metres(cm: ArrayLike) -> NDArray[np.float64]:
    """Return a length, a point or an array of points given in cm, in metres."""
    return np.asarray(cm, dtype=float) * M_PER_CM


def stops(ratio: float) -> float:
    """Return a ratio of two lights in stops: log2, minus infinity for none."""
    return math.log2(ratio) if ratio > 0 else -math.inf


def ratio(stops: float) -> float:
    """Return the ratio of two lights that many stops apart."""
    return float(2.0**stops)


def mired(kelvin: float) -> float:
    """Return the reciprocal colour temperature in micro reciprocal degrees, 10^6 / K."""
    return 1e6 / kelvin
