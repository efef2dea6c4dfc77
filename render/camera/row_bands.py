"""Bands of rows: what is computed band by band takes no more memory for a large picture than for a small one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

ROWS: Final = 256


def row_bands(height: int) -> Iterator[slice]:
    """Yield the rows of a picture, band by band from the top."""
    for first in range(0, height, ROWS):
        yield slice(first, min(first + ROWS, height))
