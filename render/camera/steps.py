"""Camera settings in thirds of a stop: exact powers of two, shown by their nominal names.

A shutter marked 1/60 s opens for 1/64 s, ISO 80 is 100/2^(1/3): each third of a stop is 2^(1/3), from 1 s and ISO 100.
The names are the standard series of cameras (common practice, no source).
"""

from __future__ import annotations

import math
from typing import Final

THIRDS: Final = 3
"""Steps in a stop."""
SAME: Final = 1e-3
"""Relative difference under which a value is a step of its scale."""
SHUTTERS: Final = (
    1, 1.3, 1.6, 2, 2.5, 3.2, 4, 5, 6, 8, 10, 13, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 160, 200, 250, 320, 400,
    500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000, 10000, 12800, 16000,
)  # fmt: skip
"""Names of shutter times from 1 s up, and of 1 over them from 1/4 s down."""
TENTHS: Final = (0.8, 0.6, 0.5, 0.4, 0.3)
"""Names of the shutter times between."""
ISOS: Final = (
    6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600,
    2000, 2500, 3200, 4000, 5000, 6400, 8000, 10000, 12800, 16000, 20000, 25600, 32000, 40000, 51200, 64000, 80000,
    102400,
)  # fmt: skip
"""Names of ISO speeds."""
ISO_100: Final = ISOS.index(100)


def nearest_step(value: float, unit: float = 1.0) -> int:
    """Return how many thirds of a stop a value lies above a unit, rounded."""
    return round(THIRDS * math.log2(value / unit))


def step_value(step: int, unit: float = 1.0) -> float:
    """Return the value so many thirds of a stop above a unit."""
    return float(unit * 2.0 ** (step / THIRDS))


def shutter_name(seconds: float) -> str:
    """Return a shutter time as cameras show it: `1.3 s`, `1/60 s`; a time between steps by its own number."""
    step = nearest_step(seconds)
    if not math.isclose(step_value(step), seconds, rel_tol=SAME) or abs(step) >= len(SHUTTERS):
        return f"{round(seconds, 1):g} s" if seconds >= 0.3 else f"1/{1 / seconds:.0f} s"
    if step >= 0:
        return f"{SHUTTERS[step]} s"
    if -step <= len(TENTHS):
        return f"{TENTHS[-step - 1]} s"
    return f"1/{SHUTTERS[-step]} s"


def iso_name(iso: float) -> str:
    """Return an ISO as cameras show it: `ISO 64`; a value between steps by its own number."""
    place = ISO_100 + nearest_step(iso, 100.0)
    is_step = 0 <= place < len(ISOS) and math.isclose(step_value(place - ISO_100, 100.0), iso, rel_tol=SAME)
    return f"ISO {ISOS[place]}" if is_step else f"ISO {iso:.0f}"


def f_number_name(f_number: float) -> str:
    """Return an f-number as lenses show it: `f/1.7`, `f/5.6`, `f/11`."""
    return f"f/{f_number:.2g}"
