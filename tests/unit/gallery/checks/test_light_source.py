"""What is said about a lamp that does not name what makes its light."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.checks.lamp import lamp_facts, lamp_lines
from gallery.checks.light_source import light_source_warnings
from tests.support.arrangements import lamp

BULB: dict[str, Any] = {"kind": "bulb", "diameter_cm": 6, "kelvin": 2700}


def warnings_of(**keys: Any) -> list[str]:
    return light_source_warnings(lamp(**{**BULB, **keys}))


def test_kelvin_alone_is_said_to_be_a_blackbody_and_what_an_led_would_change() -> None:
    assert warnings_of(lumens=806) == [
        "a: taken for a blackbody of 2700 K by kelvin alone; as an LED of Ra 80, as most lamps are, strong blue "
        'changes by 5.2 CIEDE2000, colours by 2.4 in the mean (1 is visible): spectrum = "led", with ra from its label'
    ]


def test_what_an_led_would_change_follows_from_the_lamps_own_kelvin() -> None:
    (warm,), (cool,) = warnings_of(lumens=806), warnings_of(lumens=806, kelvin=6500)
    assert "by 5.2 CIEDE2000" in warm
    assert "by 9.9 CIEDE2000" in cool


def test_watts_alone_are_said_to_be_an_leds_and_what_a_filament_would_change() -> None:
    assert warnings_of(watts=8) == [
        'a: taken for an LED of Ra 80, as most lamps are; as a filament lamp (spectrum = "blackbody") it is 2.8 stops '
        "darker and strong blue changes by 5.2 CIEDE2000, colours by 2.4 in the mean (1 is visible)"
    ]


@pytest.mark.parametrize(
    "keys",
    [
        {"spectrum": "led"}, {"ra": 90}, {"spectrum": "blackbody"}, {"spectrum": "LED-B1"}, {"watts": 8, "lumens": 806},
        {"kelvin_range": (2700, 6500)}, {"kelvin": 1500},
    ],
)  # fmt: skip
def test_nothing_is_said_where_the_label_says_it_or_no_led_can_be_meant(keys: dict[str, Any]) -> None:
    assert warnings_of(**{"lumens": 806, **keys}) == []


@pytest.mark.parametrize(
    ("keys", "lumens"),
    [({"watts": 60}, 806), ({"watts": 100}, 1521), ({"watts": 40, "ra": 90, "kind": "disc"}, 470)],
)
def test_watts_of_the_bulb_that_an_led_replaces_are_asked_about(keys: dict[str, Any], lumens: int) -> None:
    (sentence,) = warnings_of(**keys)
    assert f'"{keys["watts"]} W equivalent", it gives about {lumens} lm and draws less: give its lumens' in sentence


@pytest.mark.parametrize(
    "keys",
    [
        {"watts": 60, "spectrum": "blackbody"}, {"watts": 60, "lumens": 5000}, {"watts": 20, "ra": 80},
        {"watts": 60, "ra": 95, "kind": "panel", "size_cm": (30, 20), "diameter_cm": None},
    ],
)  # fmt: skip
def test_watts_that_a_lamp_may_well_draw_are_not(keys: dict[str, Any]) -> None:
    assert not any("equivalent" in sentence for sentence in warnings_of(**keys))


def test_the_lamps_are_listed_with_what_they_were_taken_for() -> None:
    facts = [lamp_facts(lamp(**BULB, lumens=806)), lamp_facts(lamp(**BULB, watts=8))]
    assert [(fact["source"], fact["source_is_guessed"]) for fact in facts] == [("filament", True), ("LED", True)]
    first, second = lamp_lines(facts)
    assert first.startswith("lamp a: bulb, 6 cm across, 806 lm, blackbody of 2700 K (Duv +0.0000), Ra 100, ")
    assert second.startswith("lamp a: bulb, 6 cm across, 800 lm, LED of 2700 K (Duv +0.0000), Ra 80, ")
