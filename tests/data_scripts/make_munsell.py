"""Write `materials/colour/data/munsell.csv` from colour-science's table of the Munsell renotation.

Run from the repository root: ``python -m tests.data_scripts.make_munsell``.
"""

from __future__ import annotations

import re
from importlib.metadata import distribution

import colour

from materials.colour.munsell import FAMILIES

from .make_observer import COLOUR

HEADER = """\
# Chromaticity under CIE illuminant C of Munsell colours (Newhall, Nickerson and Judd, "Final report of the O.S.A.
# subcommittee on the spacing of the Munsell colors", 1943): hue counted in steps of 2.5 from 0 for 2.5R.
# From the tables of colour-science {version} by tests/data_scripts/make_munsell.py;
# its licence is in NOTICE-colour-science.txt.
hue,value,chroma,x,y
"""


def table() -> str:
    """Return the text of the data file: colours of whole values from 1 to 10, extrapolated ones included."""
    rows = []
    for (hue, value, chroma), (x, y, _) in colour.MUNSELL_COLOURS["Munsell Colours All"]:
        found = re.fullmatch(r"([\d.]+)([A-Z]+)", hue)
        if found is None or value < 1 or value != int(value) or chroma > 24:
            continue
        number = 4 * FAMILIES.index(found[2]) + round(float(found[1]) / 2.5) - 1
        rows.append((number, int(value), int(chroma), f"{x:.4g}", f"{y:.4g}"))
    lines = [",".join(map(str, row)) for row in sorted(rows)]
    return HEADER.format(version=distribution("colour-science").version) + "\n".join(lines) + "\n"


if __name__ == "__main__":
    (COLOUR / "munsell.csv").write_text(table(), encoding="utf-8")
