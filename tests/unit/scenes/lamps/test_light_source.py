"""What makes a lamp's light: spectrum and lumens per watt by one rule."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.captions.lamp import light_facts
from materials.light.spectra import blackbody
from scenes.errors import InputError
from tests.support.arrangements import lamp

BULB: dict[str, Any] = {"kind": "bulb", "diameter_cm": 6, "kelvin": 2700}


@pytest.mark.parametrize(
    ("keys", "kind", "is_guessed", "ra"),
    [
        ({}, "filament", True, 100),
        ({"lumens": 806}, "filament", True, 100),
        ({"lux_at": {"lux": 90, "cm": 50}}, "filament", True, 100),
        ({"watts": 8}, "LED", True, 80),
        ({"watts": 8, "lumens": 806}, "LED", True, 80),
        ({"watts": 60, "lumens": 710}, "filament", True, 100),
        ({"watts": 8, "kelvin": 1500}, "filament", True, 100),
        ({"ra": 90}, "LED", False, 90),
        ({"spectrum": "led"}, "LED", False, 80),
        ({"spectrum": "led", "ra": 97}, "LED", False, 97),
        ({"spectrum": "blackbody", "watts": 8}, "filament", False, 100),
        ({"spectrum": "A", "kelvin": 4000}, "filament", False, 100),
        ({"spectrum": "LED-B1", "watts": 8}, "named", False, 82),
        ({"kelvin_range": (2700, 6500), "watts": 8}, "bi-colour LED", False, 95),
        ({"kelvin_range": (2700, 6500), "ra": 85}, "bi-colour LED", False, 85),
        ({"kelvin_range": (2000, 6500), "kelvin": 2000}, "bi-colour LED", False, 90),
    ],
    ids=str,
)
def test_a_lamp_is_taken_for_what_its_label_says(keys: dict[str, Any], kind: str, is_guessed: bool, ra: float) -> None:
    made = lamp(**{**BULB, **keys})
    assert (made.source.kind, made.source.is_guessed) == (kind, is_guessed)
    assert light_facts(made)["ra"] == pytest.approx(ra, abs=0.5)


@pytest.mark.parametrize("keys", [{"watts": 8}, {"watts": 8, "spectrum": "blackbody"}, {"watts": 40, "kelvin": 1500}])
def test_watts_count_as_those_of_the_light_source_whose_spectrum_is_taken(keys: dict[str, Any]) -> None:
    made = lamp(**{**BULB, **keys})
    is_blackbody = made.spectrum == pytest.approx(blackbody(made.model.kelvin))
    assert made.lumens / keys["watts"] == (14 if is_blackbody else 100)


def test_a_rendering_that_is_stated_over_a_preset_keeps_its_lamp() -> None:
    assert lamp(preset="desk panel", ra=85).source.ra == 85
    assert lamp(preset="desk panel", ra=85).model.kelvin_range is not None


def test_a_spectrum_that_is_stated_over_a_preset_drops_its_rendering() -> None:
    assert lamp(preset="desk lamp bulb", spectrum="FL2").source.ra is None


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [
        (
            {"ra": 70},
            "ra = 70: LEDs of 80 or more are modelled: leave ra out, for which 80 is taken, or name a file with its "
            "measured spectrum, as spectrum = 'torch.csv'",
        ),
        ({"ra": -1}, "ra = -1: should be 80 or more"),
        ({"ra": 99}, "ra = 99: should be 97 or less"),
        ({"ra": 95, "kelvin": 2000}, "ra = 95: an LED of 2000 K has 80 to 90 here"),
        ({"ra": 97, "kelvin_range": (2000, 6500)}, "ra = 97: an LED of 2000 K has 80 to 90 here"),
        ({"ra": 90, "spectrum": "FL2"}, "ra is of an LED: leave it out, or spectrum = 'FL2'"),
    ],
    ids=str,
)
def test_a_rendering_that_no_led_has_is_refused_with_those_that_there_are(keys: dict[str, Any], sentence: str) -> None:
    with pytest.raises(InputError) as error:
        lamp(**{**BULB, **keys})
    assert str(error.value) == f'test.toml: lamps[1] "a": {sentence}'
