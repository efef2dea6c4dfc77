"""Write the lamp spectra of `materials/light/data` from colour-science's tables, and the test colours of CIE 13.3.

Run from the repository root: ``python -m tests.data_scripts.make_lamp_spectra``.
`make_observer` writes the notice for them.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib.metadata import distribution
from typing import Any, Final

import colour
from colour.colorimetry import SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES as DAYLIGHT_BASIS
from colour.quality import SDS_TCS

from tests.data_scripts.make_observer import LIGHT

ILLUMINANTS: Final = (
    *("A", "D50", "D55", "D65", "D75"),
    *(f"FL{number}" for number in range(1, 13)),
    *("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-BH1", "LED-RGB1", "LED-V1", "LED-V2"),
)
SAMPLES: Final = tuple(f"TCS{number:02}" for number in range(1, 15))
HEADER: Final = """\
# {what}.
# From the tables of colour-science {version} by tests/data_scripts/make_lamp_spectra.py;
# its licence is in NOTICE-colour-science.txt.
"""


def tables() -> dict[str, str]:
    """Return the text of each data file by its name."""
    samples = {name: _by_1_nm(SDS_TCS["CIE 1995"][name]) for name in SAMPLES}
    return {
        "illuminants.csv": _table(
            "Relative power of CIE illuminants (CIE 15:2018), 380 to 730 nm by 5 nm",
            {name: colour.SDS_ILLUMINANTS[name] for name in ILLUMINANTS},
            range(380, 731, 5),
        ),
        "daylight.csv": _table(
            "Mean and two characteristic vectors of CIE daylight (CIE 15:2018), 380 to 730 nm by 5 nm",
            {name: DAYLIGHT_BASIS[name] for name in ("S0", "S1", "S2")},
            range(380, 731, 5),
        ),
        "test_colours.csv": _table(
            "Spectral radiance factors of the test-colour samples of CIE 13.3-1995, 380 to 730 nm by 1 nm,\n"
            "# interpolated from 5 nm with Sprague's polynomials (CIE 167:2005)",
            samples,
            range(380, 731),
        ),
    }


def _by_1_nm(sample: Any) -> Any:
    shape = colour.SpectralShape(360, 830, 1)
    return sample.copy().interpolate(shape, interpolator=colour.SpragueInterpolator)


def _table(what: str, spectra: Mapping[str, Any], wavelengths_nm: range) -> str:
    header = HEADER.format(what=what, version=distribution("colour-science").version)
    rows = [",".join(["wavelength_nm", *spectra])]
    rows += [",".join([str(nm), *(_cell(of[nm]) for of in spectra.values())]) for nm in wavelengths_nm]
    return header + "\n".join(rows) + "\n"


def _cell(value: float) -> str:
    # the library holds zeros as 1e-16
    return f"{round(float(value), 9) + 0.0:.6g}"


if __name__ == "__main__":
    for name, text in tables().items():
        (LIGHT / name).write_text(text, encoding="utf-8")
