"""Lamps in a few words under a frame."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gallery.captions.lamp import lamp_caption, lamps_caption
from tests.unit.scenes.setups.test_placed import BULB, PANEL, placed_by_hand


@pytest.mark.parametrize(("dimmer", "caption"), [(1.0, "key 4000 K 100 %"), (0.254, "key 4000 K 25 %"), (0, "key off")])
def test_a_lamp_is_captioned_by_its_colour_and_its_dimmer(dimmer: float, caption: str) -> None:
    (lamp,) = placed_by_hand(PANEL).lamps
    assert lamp_caption(replace(lamp, dimmer=dimmer)) == caption


@pytest.mark.parametrize(
    ("kelvin", "dimmer", "caption"),
    [
        (3000, 0.5, "key 4000 K 100 % + lamp 2 3000 K 50 %, 83 mired apart"),
        (3750, 0.5, "key 4000 K 100 % + lamp 2 3750 K 50 %"),
        (4000, 0.5, "key 100 % + lamp 2 50 %, 4000 K"),
        (3000, 0.0, "key 100 % + lamp 2 off, 4000 K"),
    ],
)
def test_lamps_of_one_colour_say_it_once(kelvin: float, dimmer: float, caption: str) -> None:
    key, second = placed_by_hand(PANEL, {**BULB, "kelvin": kelvin}).lamps
    assert lamps_caption([key, replace(second, dimmer=dimmer)]) == caption


def test_lamps_that_are_all_off_have_no_colour() -> None:
    lamps = [replace(lamp, dimmer=0.0) for lamp in placed_by_hand(PANEL, BULB).lamps]
    assert lamps_caption(lamps) == "key off + lamp 2 off"


def test_one_lamp_is_captioned_by_itself() -> None:
    assert lamps_caption(placed_by_hand(PANEL).lamps) == "key 4000 K 100 %"
