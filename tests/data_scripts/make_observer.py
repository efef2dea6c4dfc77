"""Write `materials/light/data/observer.csv` and `materials/NOTICE-colour-science.txt` from colour-science's tables.

Run from the repository root: ``python -m tests.data_scripts.make_observer``.
"""

from __future__ import annotations

from importlib.metadata import distribution
from pathlib import Path
from typing import Any

import colour
import numpy as np

MATERIALS = Path(__file__).parents[2] / "materials"
LIGHT = MATERIALS / "light" / "data"
COLOUR = MATERIALS / "colour" / "data"
WAVELENGTHS_NM = range(380, 731)
HEADER = """\
# CIE 1931 2-degree standard observer (ISO/CIE 11664-1) and CIE standard illuminant D65 (ISO/CIE 11664-2),
# 380 to 730 nm by 1 nm, the illuminant interpolated linearly from 5 nm as CIE 15 prescribes.
# From the tables of colour-science {version} by tests/data_scripts/make_observer.py;
# its licence is in NOTICE-colour-science.txt.
wavelength_nm,xbar,ybar,zbar,d65
"""


def table() -> str:
    """Return the text of the data file."""
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    illuminant = colour.SDS_ILLUMINANTS["D65"]
    power = np.interp(list(WAVELENGTHS_NM), illuminant.wavelengths, illuminant.values)
    rows = [_row(nm, observer[nm], d65) for nm, d65 in zip(WAVELENGTHS_NM, power, strict=True)]
    return HEADER.format(version=distribution("colour-science").version) + "\n".join(rows) + "\n"


def _row(nm: int, matching: Any, d65: float) -> str:
    return ",".join([str(nm), *(f"{float(value):.12g}" for value in (*matching, d65))])


def notice() -> str:
    """Return the licence text that the library's distribution carries."""
    files = distribution("colour-science").files or []
    licence = next(file for file in files if file.name == "LICENSE")
    return (
        "The values in observer.csv, illuminants.csv, daylight.csv, test_colours.csv, mixing.csv, munsell.csv,\n"
        "deviations.csv and surfaces.csv are taken from the tables of colour-science, "
        "https://github.com/colour-science/colour, under this licence:\n\n" + licence.read_text()
    )


if __name__ == "__main__":
    (LIGHT / "observer.csv").write_text(table(), encoding="utf-8")
    (MATERIALS / "NOTICE-colour-science.txt").write_text(notice(), encoding="utf-8")
