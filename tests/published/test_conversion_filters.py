"""Mired shifts and losses of gels against the published conversion filters."""

from __future__ import annotations

import pytest

from scenes.lamps.gels import FULL_MIRED, loss_stops, nearest_gel
from scenes.units import mired
from tests.support.report import absolute, report

SOURCE = "Wratten conversion and light balancing filters (memory)"
FILTERS = {  # from kelvin, to kelvin, mired shift, exposure increase in stops
    "80A": (3200, 5500, -131, 2),
    "80B": (3400, 5500, -112, 5 / 3),
    "80C": (3800, 5500, -81, 1),
    "80D": (4200, 5500, -56, 1 / 3),
    "82C": (2800, 3200, -45, 2 / 3),
    "82B": (2900, 3200, -32, 2 / 3),
    "82A": (3000, 3200, -21, 1 / 3),
    "81A": (3400, 3200, 18, 1 / 3),
    "81B": (3500, 3200, 27, 1 / 3),
    "81C": (3600, 3200, 35, 1 / 3),
    "81D": (3700, 3200, 42, 2 / 3),
    "81EF": (3850, 3200, 52, 2 / 3),
    "85C": (5500, 3800, 81, 1 / 3),
    "85": (5500, 3400, 112, 2 / 3),
    "85B": (5500, 3200, 131, 2 / 3),
}


@pytest.mark.parametrize("name", FILTERS)
def test_a_filter_shifts_between_its_temperatures_by_its_published_mired(name: str) -> None:
    from_kelvin, to_kelvin, shift, _ = FILTERS[name]
    report(f"{name}, mired shift", SOURCE, shift, mired(to_kelvin) - mired(from_kelvin), absolute(1))


@pytest.mark.parametrize("name", FILTERS)
def test_a_gel_of_that_shift_takes_the_light_that_was_published(name: str) -> None:
    _, _, shift, stops = FILTERS[name]
    # the published ones, in thirds of a stop, do not rise evenly: 80D has a third, 82C, weaker, two thirds
    report(f"{name}, stops", SOURCE, stops, loss_stops(shift), absolute(0.55))


@pytest.mark.parametrize(("kelvin", "to_kelvin", "name"), [(5500, 3200, "full CTO"), (3200, 5500, "full CTB")])
def test_a_full_gel_takes_daylight_to_studio_lamps_and_back(kelvin: float, to_kelvin: float, name: str) -> None:
    gel = nearest_gel(mired(to_kelvin) - mired(kelvin))
    assert gel.name == name
    report(f"{name}, mired", SOURCE, FULL_MIRED, abs(mired(to_kelvin) - mired(kelvin)), absolute(1))
