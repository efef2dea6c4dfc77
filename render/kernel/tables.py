"""Tables of numbers that programs gather from.

The renderer uses numpy's memory as it is, and gathers neighbours together where that is aligned: by chance, which would
be slower or not, and another program to compile each time. Tables are aligned always.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, DTypeLike

from .backend import mitsuba

ALIGNMENT: Final = 64
"""Bytes: of the widest vectors of a CPU."""


def float_table(values: ArrayLike) -> Any:
    """Return numbers of any shape as one Float, in the order of C."""
    return mitsuba().Float(_aligned(values, np.float32))


def integer_table(values: ArrayLike) -> Any:
    """Return whole numbers of any shape as one UInt32, in the order of C."""
    return mitsuba().UInt32(_aligned(values, np.uint32))


def _aligned(values: ArrayLike, dtype: DTypeLike) -> Any:
    flat = np.asarray(values, dtype).ravel()
    memory = np.empty(flat.nbytes + ALIGNMENT, np.uint8)
    start = -memory.ctypes.data % ALIGNMENT
    aligned = memory[start : start + flat.nbytes].view(flat.dtype)
    aligned[:] = flat
    return aligned
