"""The exposure that a camera takes for an illuminance: in its reach, in thirds of a stop."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.camera.exposure import INCIDENT, Exposure, choose_exposure
from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.units import ratio, stops

SIXTH = 1 / 6 + 1e-9


def camera(**keys: Any) -> CameraModel:
    return fill_model(keys, CameraModel, "test")


@given(st.floats(1, 1e5), st.floats(-5, 5), st.floats(0, 2))
def test_within_reach_an_exposure_is_a_sixth_of_a_stop_off_at_most(lux: float, brighter: float, near: float) -> None:
    chosen = choose_exposure(camera(kind="camera"), lux, brighter, near)
    if chosen.short_stops == 0:
        assert abs(stops(chosen.exposure.incident_lux * ratio(brighter) / lux)) <= SIXTH
        assert chosen.remedy is None


@pytest.mark.parametrize("lux", [0.0, 1e-3, 1e4])
def test_a_fixed_exposure_stays_whatever_the_light(lux: float) -> None:
    chosen = choose_exposure(camera(kind="camera", shutter_s=0.5, iso=400), lux, 1.0, 0.5)
    assert chosen.exposure == Exposure(0.5, 400, 8.0, 0.5)
    assert (chosen.short_stops, chosen.remedy) == (0, None)


def test_an_incident_meter_of_c_250_asks_for_the_exposure() -> None:
    assert Exposure(1 / 50, 100, 8, 0.5).incident_lux == pytest.approx(INCIDENT * 12**2 * 50 / 100)
