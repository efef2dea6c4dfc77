"""Spectra read from files against the published colours of what they hold."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import colour
import numpy as np
import pytest

from materials.columns import NEEDED_NM
from materials.light.colour_temperature import cct_duv
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import chromaticity_xy, photometric_value
from scenes.lamps.files.spectrum import read_spectrum
from scenes.lamps.files.tm27 import QUANTITIES, tm27_rows
from tests.support.report import absolute, relative, report

CIE_15 = "CIE 15:2018"
LAMPS = {
    "A": (0.44758, 0.40745, 2856),
    "FL11": (0.3805, 0.3769, 4000),
    "LED-B3": (0.3756, 0.3723, 4103),
}
"""x, y and CCT in K, as published."""
FLUORESCENT = Path(colour.__file__).parent / "io" / "tests" / "resources" / "Fluorescent.spdx"
"""A file of IES TM-27-14 from elsewhere, whose samples lie 0.4 to 45 nm apart."""


def by_5_nm(illuminant: str) -> colour.SpectralDistribution:
    """Return a tabulated illuminant at the wavelengths at which CIE 15 tabulates it."""
    tabulated = colour.SDS_ILLUMINANTS[illuminant]
    nm = np.arange(380, 781, 5)
    return colour.SpectralDistribution(tabulated[nm], nm)


def in_columns(path: Path, spectrum: colour.SpectralDistribution) -> None:
    rows = (f"{nm:g},{value:.9g}" for nm, value in zip(spectrum.wavelengths, spectrum.values, strict=True))
    path.write_text("\n".join(("wavelength_nm,relative power", *rows)), encoding="utf-8")


def in_tm27(path: Path, spectrum: colour.SpectralDistribution) -> None:
    colour.SpectralDistribution_IESTM2714(str(path), spectral_quantity="relative", data=spectrum).write()


@pytest.mark.parametrize("illuminant", LAMPS)
@pytest.mark.parametrize(("ending", "write"), [("csv", in_columns), ("spdx", in_tm27)])
def test_a_lamp_by_5_nm_has_its_published_colour(
    tmp_path: Path, illuminant: str, ending: str, write: Callable[[Path, colour.SpectralDistribution], None]
) -> None:
    path = tmp_path / f"lamp.{ending}"
    write(path, by_5_nm(illuminant))
    spectrum = read_spectrum(path)
    x, y, kelvin = LAMPS[illuminant]
    for name, expected, got in zip("xy", (x, y), chromaticity_xy(spectrum), strict=True):
        report(f"{illuminant} from .{ending}, {name}", CIE_15, expected, float(got), absolute(5e-4))
    report(f"{illuminant} from .{ending}, CCT, K", CIE_15, kelvin, cct_duv(spectrum)[0], relative(1e-3))


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_what_the_reference_library_writes_is_read_to_the_last_digit(tmp_path: Path, quantity: str) -> None:
    path = tmp_path / "lamp.spdx"
    lamp = by_5_nm("LED-B3")
    colour.SpectralDistribution_IESTM2714(str(path), spectral_quantity=quantity, data=lamp).write()
    got = [(float(nm), float(value)) for _, nm, value in tm27_rows(path.read_bytes())]
    assert got == list(zip(lamp.wavelengths, lamp.values, strict=True))


def test_a_file_is_read_as_the_reference_library_reads_it() -> None:
    tabulated = colour.SpectralDistribution_IESTM2714(str(FLUORESCENT)).read()
    got = [(float(nm), float(value)) for _, nm, value in tm27_rows(FLUORESCENT.read_bytes())]
    assert got == list(zip(tabulated.wavelengths, tabulated.values, strict=True))


def test_a_lamp_by_no_regular_step_has_the_colour_that_the_reference_library_gives() -> None:
    tabulated = colour.SpectralDistribution_IESTM2714(str(FLUORESCENT)).read()
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    fine = np.arange(4000, 7301) / 10
    matching = np.array([np.interp(fine, observer.wavelengths, curve) for curve in observer.values.T])
    expected = colour.XYZ_to_xy(matching @ np.interp(fine, tabulated.wavelengths, tabulated.values))
    for name, there, here in zip("xy", expected, chromaticity_xy(read_spectrum(FLUORESCENT)), strict=True):
        source = "its samples and CIE 1931 by 0.1 nm, from colour-science"
        report(f"rare earth fluorescent lamp, {name}", source, float(there), float(here), absolute(1e-4))


@pytest.mark.parametrize("illuminant", ["A", "D65", "FL11", "LED-B1", "LED-B3", "LED-B5"])
def test_little_light_of_white_lamps_lies_outside_what_has_to_be_measured(tmp_path: Path, illuminant: str) -> None:
    in_columns(tmp_path / "lamp.csv", by_5_nm(illuminant))
    low, high = NEEDED_NM - WAVELENGTHS_NM[0]
    spectrum = read_spectrum(tmp_path / "lamp.csv").copy()
    spectrum[int(low) : int(high) + 1] = 0
    beyond = photometric_value(spectrum)
    report(f"{illuminant}, part of its light beyond 400 to 700 nm", CIE_15, 0, beyond, absolute(1e-3))
