"""A lamp's measured spectrum from a file, on the one wavelength grid."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM, frozen
from materials.light.spectra import Spectrum, luminous
from scenes.arrangement.files import content_of
from scenes.errors import InputError

from .tm27 import tm27_rows

COLUMNS: Final = (".csv", ".txt")
"""The endings of files of two columns, wavelength in nm and value."""
XML: Final = (".spdx", ".xml")
"""The endings of files of IES TM-27."""
NEEDED_NM: Final = (400, 700)
"""What has to be measured; at most 0.1 % of the light of the white lamps of CIE 15:2018 lies outside."""
FEWEST: Final = 15
"""The samples needed there: one every 20 nm, wherever the first lies."""
WIDEST_NM: Final = 25
"""The widest gap there; colour-science's own file of a fluorescent lamp leaves out 22 nm."""
NOISE: Final = 0.01
"""How far below zero a value may lie, as a part of the largest, to count as the zero of an instrument's noise."""

_LIMIT: Final = 1e30  # no unit makes a lamp's values larger, or its largest smaller than the inverse
_NUMBER: Final = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_NM_PER_UNIT: Final = {"micrometres": 1e3, "metres": 1e9, "ångström": 0.1}
_Rows = list[tuple[int, str, str]]  # line, wavelength, value, as written


def read_spectrum(path: Path) -> Spectrum:
    """Return the spectrum in a file, scaled so that it gives exactly one lumen.

    Files ending in `COLUMNS` hold a wavelength in nm and a value on each line, between them a comma, semicolon, tab
    or blanks; with a semicolon or tab, decimals may be written with a comma. A line of headings may come first; empty
    lines and those that begin with # are skipped. Files ending in `XML` are of IES TM-27-14 or ANSI/IES TM-27-20.

    Values are power per nm in any unit, at rising or falling wavelengths. Between samples they are taken as
    straight lines, beyond the first and the last as 0.

    Returns
    -------
    (351,) W/nm per lm, read-only: means over the nm about each wavelength of `WAVELENGTHS_NM`, so that sums
    over the grid are the integrals over the lines.

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
        return _spectrum(tm27_rows(content) if kind in XML else _column_rows(content))
    except InputError as error:
        raise InputError(f"{path}: {error}") from None


def _column_rows(content: bytes) -> _Rows:
    if b"\0" in content:
        raise InputError("it is no plain text; save it as CSV (UTF-8) with a wavelength in nm and a value on each line")
    text = content.decode("utf-8-sig", errors="replace")  # an older encoding shows in the headings alone
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1)]
    lines = [(number, line) for number, line in lines if line and not line.startswith("#")]
    separator = next((mark for mark in ";\t," if lines and mark in lines[-1][1]), None)
    table = [(number, _cells(line, separator)) for number, line in lines]
    if table and not any(_NUMBER.fullmatch(cell.replace(",", ".")) for cell in table[0][1]):
        del table[0]
    for number, cells in table:
        if len(cells) != 2:
            hint = "; decimals should be written with a point" if separator == "," and len(cells) > 2 else ""
            raise InputError(
                f"line {number} has {len(cells)} column{'s' * (len(cells) != 1)}, should have two, "
                f"a wavelength in nm and a value{hint}"
            )
    return _with_points([(number, cells[0], cells[1]) for number, cells in table])


def _cells(line: str, separator: str | None) -> list[str]:
    """Return the cells of a line; separators at its end, as tables save them, start none."""
    return [cell.strip(' "') for cell in line.rstrip(f"{separator or ''} ").split(separator)]


def _with_points(rows: _Rows) -> _Rows:
    """Return rows whose decimals are written with a point; commas are left where columns had a semicolon or tab."""
    commas, points = (next((row for row in rows if mark in row[1] + row[2]), None) for mark in ",.")
    if commas and points:
        raise InputError(
            f"line {commas[0]} has a comma in a number and line {points[0]} a point: decimals should be written "
            "one way, and thousands without a mark"
        )
    return [(number, nm.replace(",", "."), value.replace(",", ".")) for number, nm, value in rows]


def _spectrum(rows: _Rows) -> Spectrum:
    if not rows:
        raise InputError("it holds no samples, should hold a wavelength in nm and a value for each")
    lines = np.array([line for line, _, _ in rows])
    nm = np.array([_number(line, "wavelength", text) for line, text, _ in rows])
    values = np.array([_number(line, "value", text) for line, _, text in rows])
    _check_unit(nm)
    _check_order(lines, nm)
    if nm[0] > nm[-1]:
        lines, nm, values = lines[::-1], nm[::-1], values[::-1]
    _check_coverage(nm)
    largest = _checked_largest(lines, nm, values)
    spectrum = _on_grid(nm, np.maximum(values, 0) / largest)
    return frozen(spectrum / luminous(spectrum))


def _number(line: int, what: str, text: str) -> float:
    value = float(text) if _NUMBER.fullmatch(text) else np.nan
    if not abs(value) < _LIMIT:
        shown = text if len(text) <= 40 else text[:37] + "..."
        raise InputError(f"line {line}: the {what} is {shown!r}, should be a number below {_LIMIT:g}")
    return value


def _check_unit(nm: NDArray[np.float64]) -> None:
    low, high = nm.min(), nm.max()
    if low < 600 and high > 500:
        return
    for unit, size in _NM_PER_UNIT.items():
        if low * size < 600 and high * size > 500:
            raise InputError(f"wavelengths from {low:g} to {high:g} look like {unit}, should be written in nm")


def _check_order(lines: NDArray[np.int_], nm: NDArray[np.float64]) -> None:
    steps = np.diff(nm) * (1 if nm[-1] >= nm[0] else -1)
    if np.any(steps <= 0):
        at = int(np.argmax(steps <= 0))
        raise InputError(
            f"line {lines[at + 1]}: the wavelength {nm[at + 1]:.9g} comes after {nm[at]:.9g}, where they should rise "
            "from first to last, or fall, each once"
        )


def _check_coverage(nm: NDArray[np.float64]) -> None:
    """Check rising wavelengths."""
    low, high = NEEDED_NM
    if nm[0] > low or nm[-1] < high:
        raise InputError(
            f"wavelengths run from {nm[0]:.9g} to {nm[-1]:.9g} nm, should reach at least from {low} to {high} nm"
        )
    count = np.count_nonzero((nm >= low) & (nm <= high))
    if count < FEWEST:
        raise InputError(f"it holds {count} samples from {low} to {high} nm, should hold {FEWEST} or more")
    gaps = np.where((nm[1:] > low) & (nm[:-1] < high), np.diff(nm), 0)
    at = int(np.argmax(gaps))
    if gaps[at] > WIDEST_NM:
        raise InputError(
            f"nothing is measured between {nm[at]:.9g} and {nm[at + 1]:.9g} nm, where samples should be at most "
            f"{WIDEST_NM} nm apart"
        )


def _checked_largest(lines: NDArray[np.int_], nm: NDArray[np.float64], values: NDArray[np.float64]) -> float:
    """Return the largest value on the grid; noise beyond it, where instruments see little, is nothing to refuse."""
    seen = (nm >= WAVELENGTHS_NM[0]) & (nm <= WAVELENGTHS_NM[-1])
    lines, nm, values = lines[seen], nm[seen], values[seen]
    largest = float(values.max())
    if not largest > 1 / _LIMIT:
        raise InputError(f"its largest value from 380 to 730 nm is {largest:g}, should be above 0: it holds no light")
    at = int(values.argmin())
    if values[at] < -NOISE * largest:
        raise InputError(
            f"line {lines[at]}: the value {values[at]:g} at {nm[at]:.9g} nm is below 0 by more than {NOISE:.0%} of the "
            f"largest, {largest:g}, should be 0 or more"
        )
    return largest


def _on_grid(nm: NDArray[np.float64], values: NDArray[np.float64]) -> Spectrum:
    """Return the mean, over the nm about each wavelength of the grid, of straight lines between samples."""
    edges = np.append(WAVELENGTHS_NM - 0.5, WAVELENGTHS_NM[-1] + 0.5)
    corners = np.union1d(edges, nm[(nm > edges[0]) & (nm < edges[-1])])
    heights = np.interp(corners, nm, values)
    areas = np.diff(corners) * (heights[1:] + heights[:-1]) / 2
    measured = (corners[:-1] >= nm[0]) & (corners[1:] <= nm[-1])
    means: Spectrum = np.add.reduceat(np.where(measured, areas, 0), np.searchsorted(corners, edges[:-1]))
    return means
