"""What another light of the same white does to colours."""

from __future__ import annotations

import pytest

from materials.colour.light_change import light_change
from materials.light.illuminants import illuminant
from materials.light.led import white_led
from materials.light.spectra import blackbody


def test_the_same_light_changes_nothing_however_strong() -> None:
    change = light_change(illuminant("LED-B3"), 7 * illuminant("LED-B3"))
    assert change.worst == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("kelvin", [2700, 4000, 6500])
def test_a_led_changes_colours_the_less_the_better_it_renders_them(kelvin: float) -> None:
    changes = [light_change(blackbody(kelvin), white_led(kelvin, ra)) for ra in (80, 90, 95)]
    assert [change.mean for change in changes] == sorted([change.mean for change in changes], reverse=True)
    assert changes[0].sample in ("strong red", "strong blue")
    assert 1 < changes[0].mean < changes[0].worst


def test_a_light_without_red_changes_red_the_most() -> None:
    bluish_red_missing = light_change(blackbody(4000), illuminant("FL2"))
    assert bluish_red_missing.sample == "strong red"
    assert bluish_red_missing.worst > 5
