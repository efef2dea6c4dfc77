"""Texts side by side along an edge, as near to where each belongs as they fit without touching."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from materials.arrays import Vector


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> Vector | None:
    """Return the middles (n,) of things of given sizes nearest to the wanted ones, between `low` and `high`.

    The sum of squared moves is least (isotonic regression), but for what the ends push inwards. None where they do not
    fit.
    """
    if not len(wanted):
        return np.zeros(0)
    if sum(sizes) > high - low:
        return None
    from scipy.optimize import isotonic_regression

    order = np.argsort(wanted, kind="stable")
    size = np.asarray(sizes, dtype=float)[order]
    offset = np.concatenate([[0.0], np.cumsum((size[:-1] + size[1:]) / 2)])
    free = isotonic_regression(np.asarray(wanted, dtype=float)[order] - offset).x
    middles = np.empty(len(size))
    middles[order] = np.clip(free, low + size[0] / 2, high - size[-1] / 2 - offset[-1]) + offset
    return middles
