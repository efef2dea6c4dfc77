"""Metals' reflectance against another published set of optical constants, and textbook values."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.cie import WAVELENGTHS_NM
from materials.metals import metal_reflectance

from .report import absolute, report

MITSUBA = "n, k of the luxpop and Palik collections, as Mitsuba ships them"
FILES = {"gold": "Au", "copper": "Cu", "silver": "Ag", "aluminium": "Al", "chrome": "Cr", "nickel": "Ni_palik"}
TOLERANCES = {"gold": 0.07, "copper": 0.04, "silver": 0.015, "aluminium": 0.012, "chrome": 0.05, "nickel": 0.015}
"""The papers measured other films than the collections: gold at its edge near 505 nm and chrome in the blue differ."""


def shipped(name: str) -> NDArray[np.float64]:
    """Return the normal reflectance of a file's constants on the grid."""
    import mitsuba

    folder = Path(mitsuba.__file__).parent / "data" / "ior"
    n, k = (_values(folder / f"{FILES[name]}.{what}.spd") for what in ("eta", "k"))
    return np.asarray(((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2))


def _values(path: Path) -> NDArray[np.float64]:
    lines = [line.split() for line in path.read_text().splitlines() if line[:1].isdigit()]
    nm, values = np.array(lines, dtype=np.float64).T
    return np.asarray(np.interp(WAVELENGTHS_NM, nm, values))


@pytest.mark.parametrize("name", FILES)
def test_metals_reflect_as_another_collection_says(name: str) -> None:
    expected, got = shipped(name), metal_reflectance(name)
    for nm in (450, 500, 550, 600, 650, 700):
        case = f"{name} at {nm} nm, reflectance"
        report(case, MITSUBA, float(expected[nm - 380]), float(got[nm - 380]), absolute(TOLERANCES[name]))


def test_one_metal_does_not_pass_for_another() -> None:
    for name in FILES:
        near = {
            other
            for other in FILES
            if np.abs(metal_reflectance(name) - shipped(other))[70:320:50].max() < TOLERANCES[other]
        }
        assert near == {name}
