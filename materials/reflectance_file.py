"""Measured reflectance from a file of two columns, nm and value."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import numpy as np

from .cie import WAVELENGTHS_NM, frozen
from .spectra import Spectrum

LARGEST_BYTES: Final = 1_000_000
NEEDED_NM: Final = (400.0, 700.0)
WIDEST_STEP_NM: Final = 50.0


def read_reflectance(path: Path) -> Spectrum:
    """Return the reflectance in a CSV file, (351,) within 0 to 1, read-only; held flat beyond the file's ends.

    Two columns, wavelength in nm and reflectance as a share or in per cent; lines that begin otherwise are remarks.

    Raises
    ------
    ValueError
        Where the file cannot be read or its numbers are no reflectance.
    """
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise ValueError(f"{path.name} is larger than a reflectance takes, {LARGEST_BYTES // 1_000_000} MB")
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise ValueError(f"{path.name} cannot be read ({error.__class__.__name__}): it should be a text file") from None
    rows = [re.split(r"[,;\s]+", line.strip()) for line in text.splitlines() if re.match(r"\s*[\d.]", line)]
    try:
        table = np.array([[float(row[0]), float(row[1])] for row in rows], dtype=np.float64)
    except (ValueError, IndexError):
        raise ValueError(f"{path.name}: each line should have a wavelength in nm and a reflectance") from None
    if len(table) < 2 or not np.isfinite(table).all():
        raise ValueError(f"{path.name}: holds no two columns of numbers, nm and reflectance")
    table = table[np.argsort(table[:, 0])]
    nm, values = table.T
    if nm[0] > NEEDED_NM[0] or nm[-1] < NEEDED_NM[1] or np.diff(nm).max() > WIDEST_STEP_NM or not np.diff(nm).all():
        raise ValueError(
            f"{path.name}: reaches from {nm[0]:g} to {nm[-1]:g} nm in steps of up to {np.diff(nm).max():g}; a "
            f"reflectance should reach from 400 to 700 in steps of {WIDEST_STEP_NM:g} or less, each nm once"
        )
    share = values / 100 if values.max() > 1.5 else values  # per cent
    if share.min() < 0 or share.max() > 1:
        raise ValueError(f"{path.name}: reflectance lies between 0 and 1 or 0 and 100 %, not at {values.max():g}")
    return frozen(np.interp(WAVELENGTHS_NM, nm, share))
