"""Lamps in a few words under a frame."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gallery.captions.lamp import lamp_caption
from tests.unit.scenes.setups.test_placed import PANEL, placed_by_hand


@pytest.mark.parametrize(("dimmer", "caption"), [(1.0, "key 4000 K 100 %"), (0.254, "key 4000 K 25 %"), (0, "key off")])
def test_a_lamp_is_captioned_by_its_colour_and_its_dimmer(dimmer: float, caption: str) -> None:
    (lamp,) = placed_by_hand(PANEL).lamps
    assert lamp_caption(replace(lamp, dimmer=dimmer)) == caption
