"""Measured spectra of lamps from files, resampled to the wavelength grid."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np

from materials.arrays import Array, frozen
from materials.columns import NEEDED_NM, Samples, check_coverage, parse_samples, read_columns, rising
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum, photometric_value
from scenes.errors import InputError
from scenes.files import content_of

from .tm27 import tm27_rows

COLUMNS: Final = (".csv", ".txt")
"""The endings of files of two columns, wavelength in nm and value."""
XML: Final = (".spdx", ".xml")
"""The endings of files of IES TM-27."""
FEWEST: Final = 15
"""The samples needed within `NEEDED_NM`: one every 20 nm, wherever the first lies."""
WIDEST_NM: Final = 25
"""The widest gap there; colour-science's own file of a fluorescent lamp leaves out 22 nm."""
NOISE: Final = 0.01
"""Fraction of the largest value by which others may be negative, as instrument noise."""
_LEAST_LIGHT: Final = 1e-30  # no unit makes a lamp's largest value smaller


def read_spectrum(path: Path) -> Spectrum:
    """Return the spectrum in a file, scaled to one lumen.

    Files ending in `COLUMNS` are those of `materials.columns.read_columns`; files ending in `XML` are of IES TM-27-14
    or ANSI/IES TM-27-20.

    Values are power per nm in any unit, at rising or falling wavelengths. Between samples they are interpolated
    linearly, beyond the first and the last they are 0.

    Returns
    -------
    (351,) W/nm per lm, read-only: means over the nm about each wavelength of `WAVELENGTHS_NM`, so that sums over the
    grid are integrals of the interpolated values.

    Raises
    ------
    InputError
        Where the file cannot be read, or holds no spectrum of a lamp.
    """
    kind = path.suffix.lower()
    if kind not in COLUMNS + XML:
        raise InputError(
            f"{path}: it ends in '{path.suffix}', where a spectrum should be a .csv or .txt of wavelengths in nm and "
            "values, or an .spdx or .xml of IES TM-27"
        )
    content = content_of(path, "file of a spectrum")
    try:
        rows = tm27_rows(content) if kind in XML else read_columns(content)[1]
        return _spectrum(rising(parse_samples(rows)))
    except (InputError, ValueError) as error:
        raise InputError(f"{path}: {error}") from None


def _spectrum(samples: Samples) -> Spectrum:
    """Return the spectrum of one lumen; ValueError where samples at rising wavelengths hold no lamp's."""
    check_coverage(samples, WIDEST_NM)
    count = np.count_nonzero((samples.nm >= NEEDED_NM[0]) & (samples.nm <= NEEDED_NM[1]))
    if count < FEWEST:
        raise ValueError(
            f"it holds {count} samples from {NEEDED_NM[0]} to {NEEDED_NM[1]} nm, should hold {FEWEST} or more"
        )
    spectrum = _on_grid(samples.nm, np.maximum(samples.values, 0) / _largest(samples))
    return frozen(spectrum / photometric_value(spectrum))


def _largest(samples: Samples) -> float:
    """Return the largest value on the grid; noise beyond the grid, where instruments see little, is not refused."""
    seen = samples.taken((samples.nm >= WAVELENGTHS_NM[0]) & (samples.nm <= WAVELENGTHS_NM[-1]))
    largest = float(seen.values.max())
    if not largest > _LEAST_LIGHT:
        raise ValueError(f"its largest value from 380 to 730 nm is {largest:g}, should be above 0: it holds no light")
    at = int(seen.values.argmin())
    if seen.values[at] < -NOISE * largest:
        raise ValueError(
            f"line {seen.lines[at]}: the value {seen.values[at]:g} at {seen.nm[at]:.9g} nm is below 0 by more than "
            f"{NOISE:.0%} of the largest, {largest:g}, should be 0 or more"
        )
    return largest


def _on_grid(nm: Array, values: Array) -> Spectrum:
    """Return the mean, over the nm about each wavelength of the grid, of values interpolated linearly."""
    edges = np.append(WAVELENGTHS_NM - 0.5, WAVELENGTHS_NM[-1] + 0.5)
    corners = np.union1d(edges, nm[(nm > edges[0]) & (nm < edges[-1])])
    heights = np.interp(corners, nm, values)
    areas = np.diff(corners) * (heights[1:] + heights[:-1]) / 2
    measured = (corners[:-1] >= nm[0]) & (corners[1:] <= nm[-1])
    means: Spectrum = np.add.reduceat(np.where(measured, areas, 0), np.searchsorted(corners, edges[:-1]))
    return means
