"""Numbers as inputs of compiled programs: another value, as of a lamp that moved, compiles nothing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from .backend import mitsuba


def opaque_integer(value: int) -> Any:
    """Return a UInt32 that is no literal of the program."""
    import drjit as dr

    return dr.opaque(mitsuba().UInt32, value)


def opaque_float(value: float) -> Any:
    """Return a Float that is no literal of the program."""
    import drjit as dr

    return dr.opaque(mitsuba().Float, float(value))


def opaque_vector(values: Iterable[float]) -> Any:
    """Return three Floats that are no literals of the program, as a vector."""
    return mitsuba().Vector3f(*map(opaque_float, values))
