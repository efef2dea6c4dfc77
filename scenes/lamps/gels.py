"""Gels that make a lamp warmer (CTO) or cooler (CTB), by their mired shift and the light that they take."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Final

VISIBLE_MIRED: Final = 20.0
"""Lamps this far apart show it: a grey turns by 6 CIEDE2000. About the weakest gel on sale (common practice)."""
FULL_MIRED: Final = 131.0
"""The shift of a full gel, between daylight of 5500 K and lamps of 3200 K: that of the published filters 85B and 80A
(memory). Gels on sale differ by a fifth (common practice, no source)."""
STRENGTHS: Final = {"full": 1.0, "half": 0.5, "quarter": 0.25, "eighth": 0.125}
"""The strengths on sale, as parts of a full gel (common practice, no source)."""
FULL_LOSS_STOPS: Final = {"CTO": 2 / 3, "CTB": 2.0}
"""What a full gel takes: the published exposure increases of 85B and 80A (memory). Gels stack, so that a part of a full
one takes that part; the others published are met within .55 of a stop."""


@dataclass(frozen=True)
class Gel:
    """One gel or two on one another: name, mired shift (positive is warmer), and the light that they take, stops."""

    name: str
    mired: float
    loss_stops: float


def nearest_gel(mired: float) -> Gel:
    """Return the gel nearest to a mired shift: a single one where what is left cannot be seen, else the best of two."""
    series = "CTO" if mired > 0 else "CTB"
    singles = [_gel((strength,), series) for strength in STRENGTHS]
    doubles = [_gel(pair, series) for pair in combinations_with_replacement(STRENGTHS, 2)]
    single, double = (min(gels, key=lambda gel: abs(gel.mired - mired)) for gels in (singles, doubles))
    return single if abs(single.mired - mired) < VISIBLE_MIRED else double


def loss_stops(mired: float) -> float:
    """Return the light that a gel of a mired shift takes, in stops."""
    return abs(mired) / FULL_MIRED * FULL_LOSS_STOPS["CTO" if mired > 0 else "CTB"]


def _gel(strengths: tuple[str, ...], series: str) -> Gel:
    parts = sum(STRENGTHS[strength] for strength in strengths)
    mired = parts * FULL_MIRED * (1 if series == "CTO" else -1)
    return Gel(f"{' + '.join(strengths)} {series}", mired, loss_stops(mired))
