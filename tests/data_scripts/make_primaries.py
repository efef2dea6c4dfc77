"""Write `materials/colour/data/primaries.csv` from colour-science's table.

Run from the repository root: ``python -m tests.data_scripts.make_primaries``.
"""

from __future__ import annotations

from importlib.metadata import distribution

import numpy as np
from colour.recovery import MSDS_BASIS_FUNCTIONS_sRGB_MALLETT2019

from .make_observer import COLOUR

HEADER = """\
# Three reflectances, for red, green and blue of sRGB, that add up to white (Mallett and Yuksel, "Spectral primary
# decomposition for rendering with sRGB reflectance", 2019), 380 to 730 nm by 5 nm.
# From the tables of colour-science {version} by tests/data_scripts/make_primaries.py;
# its licence is in NOTICE-colour-science.txt.
wavelength_nm,red,green,blue
"""


def table() -> str:
    """Return the text of the data file."""
    basis = MSDS_BASIS_FUNCTIONS_sRGB_MALLETT2019
    wavelengths = np.arange(380, 731, 5)
    rows = [f"{nm}," + ",".join(f"{float(v):.8g}" for v in basis[float(nm)]) for nm in wavelengths]
    return HEADER.format(version=distribution("colour-science").version) + "\n".join(rows) + "\n"


if __name__ == "__main__":
    (COLOUR / "primaries.csv").write_text(table(), encoding="utf-8")
