"""Which lens and zoom take a view."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.stage.lens import frame_height_mm, lens_setting, lens_words, magnification_of
from scenes.stage.viewpoint import Viewpoint

FULL_FRAME = (36.0, 24.0)


def camera(**keys: Any) -> CameraModel:
    return fill_model(keys, CameraModel, "test")


def view(field_height_cm: float, distance_cm: float, aspect: float = 2 / 3) -> Viewpoint:
    """Return a view of a field so high at a distance."""
    return Viewpoint((0, -distance_cm, 10), (0, 0, 10), field_height_cm / 2 / distance_cm, aspect)


@given(st.floats(1, 100), st.floats(20, 200))
def test_the_magnification_is_the_frame_over_the_field(field: float, distance: float) -> None:
    zoom = camera(kind="camera", focal_mm=[1, 2000])
    assert magnification_of(zoom, view(field, distance), distance) == pytest.approx(3.6 / field)


@given(st.floats(1, 100), st.floats(20, 200))
def test_object_and_image_distance_fit_the_thin_lens(field: float, distance: float) -> None:
    setting = lens_setting(camera(kind="camera", focal_mm=[0.5, 2000]).body, view(field, distance), distance)
    image = setting.magnification * distance
    assert 1 / (setting.focal_mm / 10) == pytest.approx(1 / distance + 1 / image)


@given(st.floats(1, 100), st.floats(20, 200), st.floats(0.5, 2))
def test_a_crop_leaves_the_magnification_of_the_longest_lens(field: float, distance: float, aspect: float) -> None:
    body = camera(kind="camera", focal_mm=35).body
    seen = view(field, distance, aspect)
    setting = lens_setting(body, seen, distance)
    assert setting.crop <= 1
    on_sensor = setting.magnification * 10 * field
    assert on_sensor == pytest.approx(setting.crop * frame_height_mm(body, aspect))
    if setting.crop < 1:
        assert setting.magnification == pytest.approx(35 / (10 * distance - 35))


@pytest.mark.parametrize(
    ("aspect", "height"),
    [(3 / 2, 24), (2 / 3, 36), (4 / 3, 24), (3 / 4, 32), (1, 24), (2, 18), (1 / 2, 36)],
)
def test_the_frame_is_the_largest_of_its_shape_on_the_sensor(aspect: float, height: float) -> None:
    body = camera(kind="camera").body
    assert body.sensor_mm == FULL_FRAME
    assert frame_height_mm(body, aspect) == pytest.approx(height)


def test_a_small_subject_on_full_frame_loses_light() -> None:
    m = magnification_of(camera(kind="camera"), view(4 / 0.7, 4 * 3.9), 4 * 3.9)
    assert 2 * math.log2(1 + m) == pytest.approx(1.41, abs=0.01)


@pytest.mark.parametrize(
    ("keys", "field", "words"),
    [
        ({"kind": "camera"}, 25.7, "86 mm"),
        ({"kind": "camera", "focal_mm": 50}, 25.7, "50 mm, cropped to 55 %"),
        ({"kind": "camera", "focal_mm": 105}, 25.7, "105 mm, 1.2 times too long for this view: move the camera back"),
        ({"kind": "phone"}, 25.7, "main lens, zoomed 3.5 times"),
        ({"kind": "phone"}, 89.5, "main lens"),
        ({"kind": "phone"}, 120, "main lens, 1.3 times too long for this view: move the camera back"),
        ({"kind": "phone-tele"}, 25.7, "tele lens, zoomed 1.2 times"),
        ({"kind": "aps-c"}, 25.7, "58 mm"),
    ],
)
def test_the_lens_is_said_in_words(keys: dict[str, Any], field: float, words: str) -> None:
    assert lens_words(camera(**keys), view(field, 70), 70) == words


def test_a_lens_that_has_no_image_of_a_subject_so_near_is_too_long() -> None:
    words = lens_words(camera(kind="camera", focal_mm=105), view(40, 8), 8)
    assert words.startswith("105 mm, 16 times too long")
