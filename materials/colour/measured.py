"""Measured reflectance from a file of two columns, nm and value."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM, frozen
from materials.light.spectra import Spectrum

LARGEST_BYTES: Final = 5_000_000
NEEDED_NM: Final = (400.0, 700.0)
WIDEST_STEP_NM: Final = 50.0
_PER_CENT: Final = re.compile(r"%|per ?cent", re.IGNORECASE)
_NUMBER: Final = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d{1,2})?", re.ASCII | re.IGNORECASE)


def read_reflectance(path: Path) -> Spectrum:
    """Return the reflectance in a CSV file, (351,) within 0 to 1, read-only; held flat beyond the file's ends.

    A line holds a wavelength in nm and a value, between them a comma, semicolon, tab or blanks; with a semicolon or
    tab, decimals may be written with a comma. Headings may come first; empty lines and those that begin with # are
    skipped. Values are per cent if the last heading says so or one is above 1.5, otherwise shares.

    Raises
    ------
    ValueError
        Where the file cannot be read or its numbers are no reflectance.
    """
    try:
        headings, rows = _headed(_text(path))
        table = np.array([_numbers(line, cells) for line, cells in rows]).reshape(-1, 2)
        return _reflectance(table, any(_PER_CENT.search(heading) for heading in headings[-1:]))
    except ValueError as error:
        raise ValueError(f"{path.name}: {error}") from None


def _text(path: Path) -> str:
    try:
        if not path.is_file():
            raise ValueError("there is no such file")
        if path.stat().st_size > LARGEST_BYTES:
            raise ValueError(f"it is larger than a reflectance takes, {LARGEST_BYTES // 1_000_000} MB")
        content = path.read_bytes()
    except OSError as error:
        raise ValueError(f"it cannot be read ({error.strerror}); check who may read it") from None
    if b"\0" in content:
        raise ValueError("it is no plain text; save it as CSV (UTF-8) with a wavelength in nm and a value on each line")
    return content.decode("utf-8-sig", errors="replace")  # an older encoding shows in the headings alone


def _headed(text: str) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Return the lines before the first that begins with a number, and from there the cells of each by its number."""
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1)]
    lines = [(number, line) for number, line in lines if line and not line.startswith("#")]
    separator = next((mark for mark in ";\t," if lines and mark in lines[-1][1]), None)
    table = [(number, _cells(line, separator)) for number, line in lines]
    first = next((i for i, (_, cells) in enumerate(table) if _NUMBER.fullmatch(cells[0])), len(table))
    return [line for _, line in lines[:first]], table[first:]


def _cells(line: str, separator: str | None) -> list[str]:
    """Return the cells of a line, decimals with a point; separators at its end, as tables save them, start none."""
    cells = [cell.strip(' "') for cell in line.rstrip(f"{separator or ''} ").split(separator)]
    return [cell.replace(",", ".") for cell in cells] or [""]


def _numbers(line: int, cells: list[str]) -> list[float]:
    if len(cells) != 2 or not all(map(_NUMBER.fullmatch, cells)):
        shown = " | ".join(cells)
        raise ValueError(
            f"line {line} reads {shown[:40]!r}, should hold two numbers, a wavelength in nm and a reflectance"
        )
    return [float(cell) for cell in cells]


def _reflectance(table: NDArray[np.float64], is_per_cent: bool) -> Spectrum:
    if len(table) < 2:
        raise ValueError("it holds no two columns of numbers, wavelengths in nm and reflectance")
    nm, values = table[np.argsort(table[:, 0], kind="stable")].T
    steps = np.diff(nm)
    if not steps.all():
        raise ValueError(f"{nm[:-1][steps == 0][0]:g} nm comes twice, should come once")
    if nm[0] > NEEDED_NM[0] or nm[-1] < NEEDED_NM[1]:
        raise ValueError(f"it reaches from {nm[0]:g} to {nm[-1]:g} nm, should reach at least from 400 to 700 nm")
    inside = (nm[1:] > NEEDED_NM[0]) & (nm[:-1] < NEEDED_NM[1])
    if (widest := steps[inside].max()) > WIDEST_STEP_NM:
        raise ValueError(f"its samples are up to {widest:g} nm apart, should be {WIDEST_STEP_NM:g} nm or less")
    whole = 100.0 if is_per_cent or values.max() > 1.5 else 1.0
    off = (values < 0) | (values > whole)
    if off.any():
        raise ValueError(
            f"the value at {nm[off][0]:g} nm is {values[off][0]:g}, should lie between 0 and "
            + ("100 per cent" if whole > 1 else "1")
        )
    return frozen(np.interp(WAVELENGTHS_NM, nm, values / whole))
