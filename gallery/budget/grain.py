"""Grain: standard error of the lightness of a frame as shown, of that of white; in percent where people read it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Final

from scenes.errors import InputError

LEAST, MOST = 0.0005, 0.2
"""Below, the rounding of 8 bits is coarser; above, a draft is finer."""
DIGITS: Final = 2


def read_grain(typed: str) -> float:
    """Return a grain such as `1%`, `1` or `0.5 %` as a share: 0.01 of the first.

    Raises
    ------
    InputError
        For other text, and for less than 0.05 or more than 20 percent.
    """
    match = re.fullmatch(r"(\d{1,2}(?:\.\d{1,4})?|\.\d{1,4}) ?%?", typed.strip(), re.ASCII)
    share = float(match[1]) / 100 if match else math.nan
    if not LEAST <= share <= MOST:
        raise InputError(f"--grain {typed}: give the grain that may be left, {LEAST:.2%} to {MOST:.0%}, as 1% or 0.5%")
    return share


def grain_words(grain: float) -> str:
    """Return a grain in percent: `1.8 %`."""
    return f"{grain_percent(grain):g} %"


def range_words(percents: Sequence[float | None]) -> str:
    """Return the range of grains in percent: `grain 0.8 to 1.4 %`; nothing where none was measured."""
    measured = sorted(percent for percent in percents if percent is not None)
    if not measured:
        return ""
    least, most = (f"{percent:g}" for percent in (measured[0], measured[-1]))
    return f"grain {least} %" if least == most else f"grain {least} to {most} %"


def grain_percent(grain: float) -> float:
    """Return a grain in percent, to two significant digits."""
    return float(f"{100 * grain:.{DIGITS}g}")
