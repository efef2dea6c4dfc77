"""How large the rounds of a sheet are."""

from __future__ import annotations

from typing import Final

UNIFORM: Final = (2, 4, 8)
"""Passes of all images after the first rounds; noise is measured from the last on."""
GROWTH: Final = 1 / 8
"""Of a later round: its cost, over that of all rounds before."""
