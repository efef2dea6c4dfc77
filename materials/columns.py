"""Measured samples from text of two columns: a wavelength in nm and a value on each line.

Errors are ValueErrors of one sentence, without the file's name.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from .arrays import Array

Row: TypeAlias = tuple[int, str, str]
"""The number of a line, its wavelength and its value as written, decimals with a point."""

NEEDED_NM: Final = (400, 700)
"""What has to be measured; at most 0.1 % of the light of the white lamps of CIE 15:2018 lies outside."""

_LIMIT: Final = 1e30  # no unit makes values larger
_NUMBER: Final = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_BEGINS_AS_NUMBER: Final = re.compile(r"[+-]?\.?\d", re.ASCII)
_NM_PER_UNIT: Final = {"micrometres": 1e3, "metres": 1e9, "ångström": 0.1}


@dataclass(frozen=True, eq=False)
class Samples:
    """Values, (n,), measured at wavelengths, (n,) in nm, and the line that each stands on."""

    lines: NDArray[np.int_]
    nm: Array
    values: Array

    def taken(self, which: NDArray[np.int_] | NDArray[np.bool_] | slice) -> Samples:
        """Return some of the samples, or all in another order."""
        return Samples(self.lines[which], self.nm[which], self.values[which])


def read_columns(content: bytes) -> tuple[list[str], list[Row]]:
    """Return the headings of a file of two columns, a text for each line, and its rows.

    Between the columns stand a comma, semicolon, tab or blanks; with a semicolon or tab, decimals may be written with a
    comma. Empty lines and those that begin with # are skipped. Rows start at the first line that begins like a number
    and holds one.

    Raises
    ------
    ValueError
        If it is no text, or a row has no two columns.
    """
    if b"\0" in content:
        raise ValueError("it is no plain text; save it as CSV (UTF-8) with a wavelength in nm and a value on each line")
    text = content.decode("utf-8-sig", errors="replace")  # an older encoding shows in the headings alone
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1)]
    lines = [(number, line) for number, line in lines if line and not line.startswith("#")]
    separator = next((mark for mark in ";\t," if lines and mark in lines[-1][1]), None)
    table = [(number, _cells(line, separator)) for number, line in lines]
    first = next((i for i, (_, cells) in enumerate(table) if _is_row(cells)), len(table))
    for number, cells in table[first:]:
        if len(cells) != 2:
            hint = "; decimals should be written with a point" if separator == "," and len(cells) > 2 else ""
            raise ValueError(
                f"line {number} has {len(cells)} column{'s' * (len(cells) != 1)}, should have two, "
                f"a wavelength in nm and a value{hint}"
            )
    return [line for _, line in lines[:first]], _with_points([(n, nm, value) for n, (nm, value) in table[first:]])


def parse_samples(rows: Sequence[Row]) -> Samples:
    """Return the samples in rows, in their order.

    Raises
    ------
    ValueError
        If there are none, one is no number, or the wavelengths are in another unit than nm.
    """
    if not rows:
        raise ValueError("it holds no samples, should hold a wavelength in nm and a value for each")
    nm = np.array([_number(line, "wavelength", text) for line, text, _ in rows])
    values = np.array([_number(line, "value", text) for line, _, text in rows])
    _check_unit(nm)
    return Samples(np.array([line for line, _, _ in rows]), nm, values)


def rising(samples: Samples) -> Samples:
    """Return samples by rising wavelength; ValueError if they neither rise nor fall throughout."""
    lines, nm = samples.lines, samples.nm
    falls = bool(nm[-1] < nm[0])
    steps = -np.diff(nm) if falls else np.diff(nm)
    if np.any(steps <= 0):
        at = int(np.argmax(steps <= 0))
        raise ValueError(
            f"line {lines[at + 1]}: the wavelength {nm[at + 1]:.9g} comes after {nm[at]:.9g}, where they should rise "
            "from first to last, or fall, each once"
        )
    return samples.taken(slice(None, None, -1)) if falls else samples


def check_coverage(samples: Samples, widest_nm: float) -> None:
    """Raise ValueError if samples at rising wavelengths leave out some of `NEEDED_NM`, or a gap above `widest_nm`."""
    nm, (low, high) = samples.nm, NEEDED_NM
    if nm[0] > low or nm[-1] < high:
        raise ValueError(
            f"wavelengths run from {nm[0]:.9g} to {nm[-1]:.9g} nm, should reach at least from {low} to {high} nm"
        )
    gaps = np.where((nm[1:] > low) & (nm[:-1] < high), np.diff(nm), 0)
    at = int(np.argmax(gaps))
    if gaps[at] > widest_nm:
        raise ValueError(
            f"nothing is measured between {nm[at]:.9g} and {nm[at + 1]:.9g} nm, where samples should be at most "
            f"{widest_nm:g} nm apart"
        )


def _cells(line: str, separator: str | None) -> list[str]:
    """Return the cells of a line; separators at its end, as spreadsheets save them, start none."""
    return [cell.strip(' "') for cell in line.rstrip(f"{separator or ''} ").split(separator)] or [""]


def _is_row(cells: Sequence[str]) -> bool:
    starts = bool(_BEGINS_AS_NUMBER.match(cells[0]))
    return starts and any(_NUMBER.fullmatch(cell.replace(",", ".")) for cell in cells)


def _with_points(rows: list[Row]) -> list[Row]:
    """Return rows whose decimals are written with a point; commas are left where columns had a semicolon or tab."""
    commas, points = (next((row for row in rows if mark in row[1] + row[2]), None) for mark in ",.")
    if commas and points:
        raise ValueError(
            f"line {commas[0]} has a comma in a number and line {points[0]} a point: decimals should be written "
            "one way, and thousands without a mark"
        )
    return [(number, nm.replace(",", "."), value.replace(",", ".")) for number, nm, value in rows]


def _number(line: int, what: str, text: str) -> float:
    value = float(text) if _NUMBER.fullmatch(text) else np.nan
    if not abs(value) < _LIMIT:
        shown = text if len(text) <= 40 else text[:37] + "..."
        raise ValueError(f"line {line}: the {what} is {shown!r}, should be a number below {_LIMIT:g}")
    return value


def _check_unit(nm: Array) -> None:
    low, high = nm.min(), nm.max()
    if low < 600 and high > 500:
        return
    for unit, size in _NM_PER_UNIT.items():
        if low * size < 600 and high * size > 500:
            raise ValueError(f"wavelengths from {low:g} to {high:g} look like {unit}, should be written in nm")
