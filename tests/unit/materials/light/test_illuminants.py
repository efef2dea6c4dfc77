"""The CIE illuminants by name and CIE daylight."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.light.colour_temperature import cct_duv
from materials.light.illuminants import DAYLIGHT_RANGE, daylight, illuminant, illuminant_names, tabulated_spectra
from materials.light.observer import D65
from materials.light.spectra import photometric_value


def test_there_are_5_phases_of_daylight_and_tungsten_12_fluorescent_lamps_and_9_leds() -> None:
    names = illuminant_names()
    assert names[:5] == ("A", "D50", "D55", "D65", "D75")
    assert names[5:17] == tuple(f"FL{number}" for number in range(1, 13))
    assert names[17:] == tuple(f"LED-{kind}" for kind in ("B1", "B2", "B3", "B4", "B5", "BH1", "RGB1", "V1", "V2"))


@pytest.mark.parametrize("name", illuminant_names())
def test_an_illuminant_gives_one_lumen(name: str) -> None:
    assert photometric_value(illuminant(name)) == pytest.approx(1, rel=1e-14)
    assert (illuminant(name) >= 0).all()


def test_an_illuminant_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        illuminant("FL2")[0] = 1


def test_d65_is_the_one_that_the_white_of_srgb_is_made_of() -> None:
    assert illuminant("D65") == pytest.approx(D65 / photometric_value(D65), rel=1e-6)


@pytest.mark.parametrize("name", ["F2", "led-b3", "", "E"])
def test_another_name_is_refused_with_the_names_that_there_are(name: str) -> None:
    with pytest.raises(ValueError, match=f"no CIE illuminant '{name}'; known are A, D50, .*, FL12, .*, LED-V2"):
        illuminant(name)


def test_the_columns_of_a_data_file_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        tabulated_spectra("daylight.csv")["S0"][0] = 1


@given(st.floats(*DAYLIGHT_RANGE))
def test_daylight_gives_one_lumen_and_lies_on_the_green_side_of_the_blackbodies(kelvin: float) -> None:
    spectrum = daylight(kelvin)
    assert photometric_value(spectrum) == pytest.approx(1, rel=1e-14)
    assert (spectrum > 0).all()


@given(st.floats(4001, 20000))
def test_daylight_has_nearly_the_colour_temperature_that_it_is_named_by(kelvin: float) -> None:
    # CIE 15 fits the locus of daylight by polynomials; its temperatures are within a mired of the true ones
    got, duv = cct_duv(daylight(kelvin))
    assert 1e6 / got == pytest.approx(1e6 / kelvin, abs=1)
    assert 0.001 < duv < 0.005


@pytest.mark.parametrize("kelvin", [3999, 25001, float("nan"), float("inf")])
def test_daylight_is_refused_where_the_cie_gives_none(kelvin: float) -> None:
    with pytest.raises(ValueError, match="outside the 4000 to 25000 K of CIE daylight"):
        daylight(kelvin)


def test_the_two_branches_of_daylight_meet_at_7000_k() -> None:
    assert np.abs(daylight(7000) / daylight(np.nextafter(7000, 8000)) - 1).max() < 3e-3
