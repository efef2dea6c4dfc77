"""Correlated colour temperature, of light that has one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.light.colour_temperature import cct_duv
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import blackbody


@given(st.floats(1010, 24000))
def test_the_colour_temperature_of_a_blackbody_is_its_temperature(kelvin: float) -> None:
    got, duv = cct_duv(blackbody(kelvin))
    assert got == pytest.approx(kelvin, abs=1e-3)
    assert duv == pytest.approx(0, abs=1e-9)


def test_green_light_lies_above_the_locus_and_pink_below() -> None:
    green = np.exp(-(((WAVELENGTHS_NM - 545) / 45) ** 2))
    assert cct_duv(blackbody(4000) * (1 + 0.3 * green))[1] > 0.005
    assert cct_duv(blackbody(4000) * (1 - 0.3 * green))[1] < -0.005


@pytest.mark.parametrize("nm", [400, 450, 480])
def test_a_blue_line_has_no_colour_temperature(nm: int) -> None:
    with pytest.raises(ValueError, match="no correlated colour temperature"):
        cct_duv(np.where(nm == WAVELENGTHS_NM, 1.0, 0.0))
