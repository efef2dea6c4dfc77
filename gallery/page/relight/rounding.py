"""Numbers of a few digits: a page holds many."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from materials.arrays import Array

DIGITS: Final = 6


def significant(value: float) -> float:
    """Return a number of 6 significant digits."""
    return float(f"{value:.{DIGITS}g}")


def rounded(values: Array) -> Any:
    """Return the values of an array as nested lists."""
    return np.vectorize(significant, otypes=[float])(values).tolist()
