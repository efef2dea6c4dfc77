"""Measured reflectance from a file of two columns, wavelength in nm and value."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import numpy as np

from materials.arrays import frozen
from materials.columns import check_coverage, parse_samples, read_columns, rising
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum

LARGEST_BYTES: Final = 5_000_000
WIDEST_NM: Final = 50
"""The widest gap between samples; reflectance of paint is smooth."""
_PER_CENT: Final = re.compile(r"%|per ?cent", re.IGNORECASE)


def read_reflectance(path: Path) -> Spectrum:
    """Return the reflectance in a file; errors of `parse_reflectance` begin with the file's name.

    Raises
    ------
    ValueError
        If the file cannot be read or holds no reflectance.
    """
    try:
        return parse_reflectance(_content(path))
    except ValueError as error:
        raise ValueError(f"{path.name}: {error}") from None


def parse_reflectance(content: bytes) -> Spectrum:
    """Return the reflectance in the content of a CSV file, (351,) within 0 to 1, read-only.

    Columns are those of `materials.columns.read_columns`, wavelengths in any order. Values are per cent if the last
    heading says so or one is above 1.5, otherwise fractions. Between samples they are interpolated linearly, beyond the
    first and the last held constant.

    Raises
    ------
    ValueError
        If it holds no reflectance.
    """
    headings, rows = read_columns(content)
    samples = parse_samples(rows)
    samples = rising(samples.taken(np.argsort(samples.nm, kind="stable")))
    check_coverage(samples, WIDEST_NM)
    nm, values = samples.nm, samples.values
    is_per_cent = any(_PER_CENT.search(heading) for heading in headings[-1:])
    whole = 100.0 if is_per_cent or values.max() > 1.5 else 1.0
    off = (values < 0) | (values > whole)
    if off.any():
        raise ValueError(
            f"the value at {nm[off][0]:g} nm is {values[off][0]:g}, should lie between 0 and "
            + ("100 per cent" if whole > 1 else "1")
        )
    return frozen(np.interp(WAVELENGTHS_NM, nm, values / whole))


def _content(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise ValueError("there is no such file")
        if path.stat().st_size > LARGEST_BYTES:
            raise ValueError(f"it is larger than a reflectance takes, {LARGEST_BYTES // 1_000_000} MB")
        return path.read_bytes()
    except OSError as error:
        raise ValueError(f"it cannot be read ({error.strerror}); check who may read it") from None
