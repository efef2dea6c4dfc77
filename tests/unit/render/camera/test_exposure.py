"""The exposure that a camera takes for an illuminance: in its reach, in thirds of a stop."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.camera.exposure import ChosenExposure, Exposure, choose_exposure
from render.camera.steps import nearest_step, step_value
from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.stage.cameras import camera_bodies
from scenes.units import ratio, stops

SIXTH = 1 / 6 + 1e-9
BY_HAND = {"kind": "camera", "support": "hand"}


def camera(**keys: Any) -> CameraModel:
    return fill_model(keys, CameraModel, "test")


def chosen(lux: float, **keys: Any) -> ChosenExposure:
    return choose_exposure(camera(**keys), lux, 0.0, 0.0)


def too_dark(exposure: Exposure, lux: float, brighter: float = 0.0) -> float:
    """Return by how many stops an exposure is darker than the light asks for."""
    return stops(exposure.incident_lux * ratio(brighter) / lux)


cameras = st.builds(camera, kind=st.sampled_from(sorted(camera_bodies())), support=st.sampled_from(["tripod", "hand"]))
lights = st.floats(-4, 7).map(lambda magnitude: 10**magnitude)


@given(cameras, lights, st.floats(-5, 5), st.floats(0, 2))
def test_within_reach_an_exposure_is_a_sixth_of_a_stop_off_at_most_and_out_of_it_by_what_it_says(
    taken: CameraModel, lux: float, brighter: float, magnification: float
) -> None:
    got = choose_exposure(taken, lux, brighter, magnification)
    off = too_dark(got.exposure, lux, brighter)
    if got.short_stops == 0:
        assert abs(off) <= SIXTH
        assert got.remedy is None
    else:
        assert got.short_stops == off
        assert abs(off) >= 1 / 6 - 1e-9
        assert got.remedy is not None


@given(cameras, lights, st.floats(1, 100))
def test_more_light_never_takes_a_longer_shutter_or_more_iso(taken: CameraModel, lux: float, more: float) -> None:
    dim, bright = (choose_exposure(taken, light, 0.0, 0.0) for light in (lux, lux * more))
    assert bright.exposure.shutter_s <= dim.exposure.shutter_s
    assert bright.exposure.iso <= dim.exposure.iso
    assert bright.short_stops <= dim.short_stops


@given(cameras, lights)
def test_settings_are_whole_thirds_of_a_stop_within_the_bodys_reach(taken: CameraModel, lux: float) -> None:
    exposure, body = choose_exposure(taken, lux, 0.0, 0.0).exposure, taken.body
    assert exposure.shutter_s == step_value(nearest_step(exposure.shutter_s))
    assert exposure.iso == step_value(nearest_step(exposure.iso, 100), 100)
    shortest, longest = map(nearest_step, body.shutters_s)
    assert shortest <= nearest_step(exposure.shutter_s) <= longest
    assert nearest_step(body.isos[0]) <= nearest_step(exposure.iso) <= nearest_step(body.isos[1])
    assert exposure.f_number == body.f_number


@given(cameras, lights)
def test_iso_rises_only_where_the_shutter_can_open_no_longer(taken: CameraModel, lux: float) -> None:
    exposure = choose_exposure(taken, lux, 0.0, 0.0).exposure
    longest = taken.body.shutters_s[1] if taken.support == "tripod" else 1 / 60
    if nearest_step(exposure.shutter_s) < nearest_step(longest):
        assert nearest_step(exposure.iso) == nearest_step(taken.body.isos[0])


@pytest.mark.parametrize("brighter", [-2, 1, 3])
def test_a_stop_brighter_is_twice_the_time(brighter: int) -> None:
    own, other = (choose_exposure(camera(kind="camera"), 1000, by, 0.0).exposure for by in (0.0, brighter))
    assert other.shutter_s == pytest.approx(own.shutter_s * 2**brighter)


def test_a_subject_at_life_size_takes_four_times_the_time() -> None:
    far, near = (choose_exposure(camera(kind="camera"), 1000, 0.0, m).exposure for m in (0.0, 1.0))
    assert near.shutter_s == pytest.approx(4 * far.shutter_s)
    assert near.f_number == far.f_number


@pytest.mark.parametrize("lux", [0.0, 1e-3, 1e4])
def test_a_fixed_exposure_stays_whatever_the_light(lux: float) -> None:
    got = choose_exposure(camera(kind="camera", shutter_s=0.5, iso=400), lux, 1.0, 0.5)
    assert got == ChosenExposure(Exposure(0.5, 400, 8.0, 0.5))


LAMPS, DIMMED = "nearer or stronger lamps", "farther or dimmed lamps"


@pytest.mark.parametrize(
    ("keys", "lux", "off", "mended_by"),
    [
        ({"kind": "camera"}, 0.01, "2.0 stops too dark at 30 s, ISO 12800", f"{LAMPS}, or a wider aperture"),
        ({"kind": "camera", "f_number": 1.4}, 0.0001, "3.6 stops too dark at 30 s, ISO 12800", LAMPS),
        ({"kind": "phone"}, 0.005, "2.2 stops too dark at 10 s, ISO 3200", LAMPS),
        (BY_HAND, 2, "5.3 stops too dark at 1/60 s, ISO 12800", f"a tripod, or {LAMPS}, or a wider aperture"),
        ({"kind": "camera"}, 4e6, "1.6 stops too bright at 1/8000 s, ISO 100", f"{DIMMED}, or a smaller aperture"),
        ({"kind": "camera", "f_number": 32}, 1e8, "2.3 stops too bright at 1/8000 s, ISO 100", DIMMED),
        ({"kind": "phone"}, 1e6, "3.0 stops too bright at 1/8000 s, ISO 50", DIMMED),
    ],
)
def test_out_of_reach_the_stops_and_what_would_mend_them_are_said(
    keys: dict[str, Any], lux: float, off: str, mended_by: str
) -> None:
    assert chosen(lux, **keys).remedy == f"is {off}: {mended_by}"


@pytest.mark.parametrize("support", ["tripod", "hand"])
@pytest.mark.parametrize("lux", [0.0, 1e-310])
def test_without_any_light_the_longest_shutter_and_the_base_iso_stay_and_it_is_said(lux: float, support: str) -> None:
    got = chosen(lux, kind="camera", support=support)
    assert got.exposure == Exposure({"tripod": 32, "hand": 1 / 64}[support], 100, 8)
    assert (got.short_stops, got.remedy) == (math.inf, "gets no light")


def test_all_bodies_expose_alike() -> None:
    whites = [chosen(1000, kind=kind).exposure.white_cd_m2 for kind in camera_bodies()]
    assert stops(max(whites) / min(whites)) <= 2 * SIXTH
