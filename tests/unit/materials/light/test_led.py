"""White LEDs and bi-colour panels."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from materials.light.colour_rendering import colour_rendering_index
from materials.light.colour_temperature import cct_duv
from materials.light.led import (
    RA_RANGE,
    WHITE_LED_RANGE,
    best_ra,
    bicolour_led,
    cool_share,
    white_led,
)
from materials.light.spectra import (
    blackbody,
    chromaticity_xy,
    photometric_value,
    planck,
    xyz,
)

panels = st.tuples(st.floats(2100, 4500), st.floats(4600, 10000), st.floats(0, 1))


def uv_1960(spectrum: NDArray[np.float64]) -> NDArray[np.float64]:
    x, y, z = xyz(spectrum)
    uv: NDArray[np.float64] = np.array([4 * x, 6 * y]) / (x + 15 * y + 3 * z)
    return uv


leds = st.tuples(st.floats(*WHITE_LED_RANGE), st.floats(0, 1)).map(
    lambda led: (led[0], RA_RANGE[0] + led[1] * (best_ra(led[0]) - RA_RANGE[0]))
)


@given(leds)
def test_a_white_led_gives_one_lumen_of_the_colour_of_a_blackbody(led: tuple[float, float]) -> None:
    kelvin, _ = led
    assert xyz(white_led(*led)) == pytest.approx(xyz(blackbody(kelvin)), rel=1e-11)
    assert photometric_value(white_led(*led)) == pytest.approx(1, rel=1e-11)


@given(leds)
def test_a_white_led_sends_out_no_less_than_nothing(led: tuple[float, float]) -> None:
    assert white_led(*led).min() > 0


@given(leds)
def test_a_white_led_renders_colours_as_its_label_says(led: tuple[float, float]) -> None:
    # 5000 K, where the reference changes from a blackbody to daylight, is 5000 K to a millionth
    assert colour_rendering_index(white_led(*led)) == pytest.approx(led[1], abs=1e-2)


@pytest.mark.parametrize("kelvin", [2700, 3200, 4000, 5000, 5600, 6500])
def test_from_warm_to_daylight_every_index_of_a_label_can_be_had(kelvin: float) -> None:
    assert best_ra(kelvin) == RA_RANGE[1]


def test_a_white_led_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        white_led(5600, 80)[0] = 1


@pytest.mark.parametrize("kelvin", [1799, 20001, 0, -1, float("nan"), float("inf")])
def test_a_white_led_outside_its_range_is_refused(kelvin: float) -> None:
    with pytest.raises(ValueError, match=f"1800 to 20000 K here, not {kelvin:g} K"):
        white_led(kelvin, 80)


@pytest.mark.parametrize(
    ("kelvin", "ra", "most"), [(4000, 79, 97), (4000, 98, 97), (2000, 95, 90), (4000, float("nan"), 97)]
)
def test_an_index_that_no_white_led_has_is_refused_with_those_that_there_are(
    kelvin: float, ra: float, most: int
) -> None:
    with pytest.raises(ValueError, match=f"a white LED of {kelvin} K has ra 80 to {most} here, not {ra:g}"):
        white_led(kelvin, ra)


@given(panels)
def test_a_bicolour_panel_gives_one_lumen_of_the_temperature_it_is_set_to(panel: tuple[float, float, float]) -> None:
    warm, cool, part = panel
    kelvin = warm + part * (cool - warm)
    spectrum = bicolour_led(kelvin, warm, cool, 90)
    assert photometric_value(spectrum) == pytest.approx(1, rel=1e-11)
    assert cct_duv(spectrum)[0] == pytest.approx(kelvin, abs=1e-3)


@given(panels)
def test_a_bicolour_panel_is_pinker_than_a_blackbody_by_what_the_chord_between_its_ends_says(
    panel: tuple[float, float, float],
) -> None:
    # where the chord between two blackbodies crosses the line at right angles to the locus
    warm, cool, part = panel
    kelvin = warm + (0.01 + 0.98 * part) * (cool - warm)
    start, chord = uv_1960(blackbody(warm)), uv_1960(blackbody(cool)) - uv_1960(blackbody(warm))
    along = uv_1960(planck(kelvin + 0.01)) - uv_1960(planck(kelvin - 0.01))
    foot = uv_1960(blackbody(kelvin))
    crossing = start + chord * (along @ (foot - start)) / (along @ chord)
    got = cct_duv(bicolour_led(kelvin, warm, cool, 90))[1]
    assert got == pytest.approx(-np.hypot(*(crossing - foot)), abs=1e-8)


@given(panels)
def test_the_share_of_the_cool_channel_is_its_part_of_the_lumens(panel: tuple[float, float, float]) -> None:
    # chromaticities mix by Y / y (Grassmann): the centre of gravity has the y that the shares say
    warm, cool, part = panel
    kelvin = warm + part * (cool - warm)
    share = cool_share(kelvin, warm, cool)
    y_warm, y_cool = chromaticity_xy(blackbody(warm))[1], chromaticity_xy(blackbody(cool))[1]
    expected = 1 / ((1 - share) / y_warm + share / y_cool)
    assert chromaticity_xy(bicolour_led(kelvin, warm, cool, 90))[1] == pytest.approx(expected, rel=1e-11)


def test_the_share_of_the_cool_channel_rises_with_the_temperature_from_none_to_all() -> None:
    shares = [cool_share(kelvin, 3200, 5600) for kelvin in np.linspace(3200, 5600, 49)]
    assert shares[0] == pytest.approx(0, abs=1e-12)
    assert shares[-1] == pytest.approx(1, abs=1e-12)
    assert (np.diff(shares) > 0).all()


@pytest.mark.parametrize("kelvin", [3199, 5601, float("nan")])
def test_a_bicolour_panel_is_not_set_beyond_its_ends(kelvin: float) -> None:
    with pytest.raises(ValueError, match=f"of 3200 to 5600 K cannot be set to {kelvin} K"):
        bicolour_led(kelvin, 3200, 5600, 95)


@pytest.mark.parametrize(("warm", "cool"), [(5600, 3200), (4000, 4000)])
def test_a_bicolour_panel_has_a_warm_end_below_its_cool_end(warm: float, cool: float) -> None:
    with pytest.raises(ValueError, match="the warm end of a bi-colour panel must be below its cool end"):
        cool_share(4000, warm, cool)


def test_a_bicolour_panel_has_ends_that_are_white_leds() -> None:
    with pytest.raises(ValueError, match="not 1500 K"):
        bicolour_led(4000, 1500, 5600, 95)
