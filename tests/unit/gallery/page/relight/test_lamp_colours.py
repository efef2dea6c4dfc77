"""At which colour temperatures a page shows a lamp."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from gallery.page.relight.lamp_colours import at_kelvin, kelvin_range, second_anchor, tabulated_kelvins
from materials.light.led import best_ra
from materials.light.spectra import photometric_value
from render.description.lit_emitter import LitEmitter
from tests.unit.render.test_frame import shot


def emitter(**keys: Any) -> LitEmitter:
    """Return the emitter of a lamp with some keys."""
    return shot(keys, {}).lit_emitters[0]


def test_a_bi_colour_lamp_is_shown_as_far_as_its_dial_goes() -> None:
    lamp = emitter(kelvin=4000, kelvin_range=[3200, 5600])
    assert kelvin_range(lamp) == (3200, 5600)
    assert second_anchor(lamp) == 5600
    assert second_anchor(emitter(kelvin=5600, kelvin_range=[3200, 5600])) == 3200


@pytest.mark.parametrize(
    ("keys", "reach"),
    [({"kelvin": 4000}, (2000, 6500)), ({"kelvin": 1800}, (1800, 6500)), ({"kelvin": 9000}, (2000, 9000))],
)
def test_a_filament_is_shown_as_any_bulb_for_the_home_and_as_itself(
    keys: dict[str, Any], reach: tuple[float, float]
) -> None:
    assert kelvin_range(emitter(**keys)) == reach


def test_an_led_is_shown_where_one_of_its_colour_rendering_can_be() -> None:
    reach = kelvin_range(emitter(kelvin=4000, ra=95))
    assert reach is not None
    assert min(best_ra(kelvin) for kelvin in reach) >= 95
    assert best_ra(2000) < 95


@pytest.mark.parametrize("spectrum", ["A", "FL11", "LED-B3"])
def test_a_lamp_of_a_given_spectrum_keeps_it(spectrum: str) -> None:
    lamp = emitter(spectrum=spectrum)
    assert (kelvin_range(lamp), second_anchor(lamp), tabulated_kelvins(lamp)) == (None, None, [])
    assert at_kelvin(lamp, None) is lamp


def test_its_own_colour_temperature_is_tabulated_and_its_own_light() -> None:
    lamp = emitter(kelvin=4321, kelvin_range=[3200, 5600])
    kelvins = tabulated_kelvins(lamp)
    assert 4321 in kelvins
    assert kelvins == sorted(kelvins)
    np.testing.assert_allclose(at_kelvin(lamp, 4321).radiance, lamp.radiance, rtol=1e-12)


def test_another_colour_temperature_is_as_many_lumens() -> None:
    lamp = emitter(kelvin=4000, ra=80)
    assert photometric_value(at_kelvin(lamp, 2700).radiance) == pytest.approx(photometric_value(lamp.radiance))
