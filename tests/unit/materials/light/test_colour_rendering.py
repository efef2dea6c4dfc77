"""The colour rendering index: what holds for any light."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.light.colour_rendering import colour_rendering_index, special_rendering_indices
from materials.light.illuminants import daylight, illuminant
from materials.light.led import white_led
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import blackbody


@given(st.floats(1010, 4999))
def test_a_blackbody_below_5000_k_renders_every_colour_as_its_reference(kelvin: float) -> None:
    assert special_rendering_indices(blackbody(kelvin)) == pytest.approx([100.0] * 14, abs=1e-4)


@given(st.floats(5010, 15000))
def test_daylight_renders_every_colour_nearly_as_its_reference(kelvin: float) -> None:
    # the reference is named by the CCT of the light, which is not quite the temperature that named the light
    assert special_rendering_indices(daylight(kelvin)) == pytest.approx([100.0] * 14, abs=0.3)


def test_the_reference_turns_from_blackbody_to_daylight_at_5000_k() -> None:
    assert colour_rendering_index(blackbody(4999)) == pytest.approx(100, abs=1e-4)
    assert colour_rendering_index(blackbody(5001)) < 99


@given(st.floats(1e-6, 1e6))
def test_colour_rendering_does_not_depend_on_power(power: float) -> None:
    expected = special_rendering_indices(illuminant("FL4"))
    assert special_rendering_indices(power * illuminant("FL4")) == pytest.approx(expected, abs=1e-6)


def test_the_general_index_is_the_mean_of_the_first_eight() -> None:
    special = special_rendering_indices(white_led(4000, 90))
    assert special.shape == (14,)
    assert colour_rendering_index(white_led(4000, 90)) == pytest.approx(sum(special[:8]) / 8, rel=1e-12)


def test_two_lines_that_look_white_render_colours_badly_and_red_worst() -> None:
    blue_and_yellow = np.where(WAVELENGTHS_NM == 460, 1.0, 0.0) + np.where(WAVELENGTHS_NM == 573, 1.4, 0.0)
    assert colour_rendering_index(blue_and_yellow) < 0
    assert int(np.argmin(special_rendering_indices(blue_and_yellow))) == 8


def test_a_light_without_a_colour_temperature_has_no_colour_rendering() -> None:
    with pytest.raises(ValueError, match="no correlated colour temperature"):
        colour_rendering_index(np.where(WAVELENGTHS_NM == 450, 1.0, 0.0))


def test_darkness_has_no_colour_rendering() -> None:
    with pytest.raises(ValueError, match="without visible light"):
        colour_rendering_index(np.zeros(351))
