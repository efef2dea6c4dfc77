"""Settings in thirds of a stop, and the names that cameras give them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.camera.steps import ISO_100, ISOS, SHUTTERS, f_number_name, iso_name, nearest_step, shutter_name, step_value


@given(st.floats(1e-5, 1e5))
def test_the_nearest_step_is_a_sixth_of_a_stop_away_at_most(value: float) -> None:
    assert abs(math.log2(step_value(nearest_step(value)) / value)) <= 1 / 6 + 1e-9


@pytest.mark.parametrize("step", range(-3 * 13, 3 * 5 + 1))
def test_every_shutter_from_1_8000_to_30_s_has_the_name_nearest_to_it(step: int) -> None:
    name = shutter_name(step_value(step)).removesuffix(" s")
    named = 1 / float(name[2:]) if name.startswith("1/") else float(name)
    assert nearest_step(named) == step


@pytest.mark.parametrize("place", range(len(ISOS)))
def test_every_iso_has_the_name_nearest_to_it(place: int) -> None:
    iso = step_value(place - ISO_100, 100.0)
    assert iso_name(iso) == f"ISO {ISOS[place]}"
    assert nearest_step(ISOS[place], 100.0) == place - ISO_100


@pytest.mark.parametrize(
    ("seconds", "name"),
    [
        (2**5, "30 s"), (2 ** (10 / 3), "10 s"), (2 ** (1 / 3), "1.3 s"), (1.0, "1 s"), (2 ** (-1 / 3), "0.8 s"),
        (2 ** (-5 / 3), "0.3 s"), (0.25, "1/4 s"), (1 / 16, "1/15 s"), (1 / 64, "1/60 s"), (2 ** (-19 / 3), "1/80 s"),
        (2**-13, "1/8000 s"), (1 / 60, "1/60 s"), (1 / 70, "1/70 s"), (0.9, "0.9 s"), (600, "600 s"),
        (1e-5, "1/100000 s"),
    ],
)  # fmt: skip
def test_a_shutter_is_shown_as_on_a_camera_and_one_between_steps_by_its_number(seconds: float, name: str) -> None:
    assert shutter_name(seconds) == name


@pytest.mark.parametrize(
    ("iso", "name"),
    [(100, "ISO 100"), (100 * 2 ** (-2 / 3), "ISO 64"), (80, "ISO 80"), (90, "ISO 90"), (409600, "ISO 409600")],
)
def test_an_iso_is_shown_as_on_a_camera_and_one_between_steps_by_its_number(iso: float, name: str) -> None:
    assert iso_name(iso) == name


@pytest.mark.parametrize(
    ("n", "name"), [(1.73, "f/1.7"), (2.8, "f/2.8"), (4, "f/4"), (8, "f/8"), (11, "f/11"), (22, "f/22")]
)
def test_an_f_number_is_shown_as_on_a_lens(n: float, name: str) -> None:
    assert f_number_name(n) == name


def test_the_series_of_shutters_is_in_thirds_of_a_stop() -> None:
    assert [nearest_step(name) for name in SHUTTERS] == list(range(len(SHUTTERS)))
