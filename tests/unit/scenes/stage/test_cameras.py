"""Camera bodies: their sensors, lenses and reach."""

from __future__ import annotations

from typing import Any, get_args

import pytest

from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError
from scenes.stage.cameras import camera_bodies, frame_aspect

KINDS = sorted(camera_bodies())


def camera(**keys: Any) -> CameraModel:
    return fill_model(keys, CameraModel, "test")


def test_every_body_can_be_named_in_an_arrangement_and_no_other() -> None:
    assert sorted(get_args(CameraModel.model_fields["kind"].annotation)) == KINDS


@pytest.mark.parametrize("kind", KINDS)
def test_a_body_is_used_within_its_own_reach(kind: str) -> None:
    body = camera_bodies()[kind]
    assert body.accepts(body.f_number)
    for least, most in (body.f_numbers, body.focal_mm, body.isos, body.shutters_s):
        assert 0 < least <= most
    assert body.sensor_mm[0] >= body.sensor_mm[1] > 0


@pytest.mark.parametrize(("kind", "aspect"), [("phone", 4 / 3), ("phone-tele", 4 / 3), ("camera", 3 / 2)])
def test_the_frame_has_the_shape_of_the_sensor(kind: str, aspect: float) -> None:
    assert frame_aspect(camera(kind=kind)) == pytest.approx(aspect)


@pytest.mark.parametrize("sides", [[36, 36], [22.3, 14.9], [14.9, 22.3]])
def test_a_sensor_of_ones_own_is_long_side_first(sides: list[float]) -> None:
    own = camera(sensor_mm=sides)
    assert own.body.sensor_mm == (max(sides), min(sides))
    assert frame_aspect(own) == max(sides) / min(sides)


@pytest.mark.parametrize(("focal", "span"), [(60, (60, 60)), ([24, 70], (24, 70)), ([70, 24], (24, 70))])
def test_a_lens_of_ones_own_has_one_focal_length_or_a_range(focal: Any, span: tuple[float, float]) -> None:
    assert camera(focal_mm=focal).body.focal_mm == span


@pytest.mark.parametrize(
    ("keys", "refused"),
    [
        ({"f_number": 8}, "camera.f_number = 8: a phone's main lens has f/1.7 only"),
        ({"kind": "camera", "f_number": 1}, "camera.f_number = 1: a full-frame camera with a zoom has f/1.4 to f/32"),
        ({"kind": "camera", "f_number": 45}, "camera.f_number = 45: a full-frame camera with a zoom has f/1.4 to f/32"),
        ({"exposure": "auto"}, "camera.exposure = \"auto\": should be 'key', 'card' or 'scene'"),
        ({"support": "bag"}, "camera.support = \"bag\": should be 'tripod' or 'hand'"),
        ({"stops": 6}, "camera.stops = 6: should be 5 or less"),
        ({"sensor_mm": [36]}, "camera.sensor_mm = [36]: should have 2 numbers, not 1"),
        ({"sensor_mm": [36, 10]}, "camera.sensor_mm = [36, 10]: a sensor's long side is at most 3 times its short one"),
        ({"focal_mm": 0}, "camera.focal_mm = 0: should be 0.5 or more or a list in square brackets"),
    ],
)
def test_what_a_camera_has_not_is_refused(keys: dict[str, Any], refused: str) -> None:
    with pytest.raises(InputError) as error:
        fill_model(keys, CameraModel, "test", ("camera",))
    assert str(error.value) == f"test: {refused}"


@pytest.mark.parametrize("f_number", [1.7, 1.8])
def test_an_f_number_a_sixth_of_a_stop_away_is_taken_as_it_is(f_number: float) -> None:
    assert camera(f_number=f_number).aperture == f_number
