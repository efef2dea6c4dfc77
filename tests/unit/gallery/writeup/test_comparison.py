"""A photograph beside the frame: cropped in the middle, in its exposure, its settings compared with the plan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from gallery.writeup.comparison import compare, cropped
from gallery.writeup.photo_settings import PhotoSettings
from gallery.writeup.photograph import Photograph
from materials.colour.srgb import srgb_decode, srgb_encode
from render.camera.exposure import Exposure
from render.frame import Frame
from tests.support.sheets.frames import unlit_frame

UNKNOWN = PhotoSettings()
PLAN = Exposure(1 / 64, 100, 4.0)


def frame() -> Frame:
    """Return a frame, 30 x 40, of grey that becomes lighter downward."""
    rows = np.linspace(40, 180, 40).round().astype(np.uint8)
    rgb = np.repeat(np.repeat(rows[:, None, None], 30, axis=1), 3, axis=2)
    return replace(unlit_frame(exposure=PLAN), rgb=rgb)


def photograph_of(taken: Frame, stops: float, settings: PhotoSettings = UNKNOWN) -> Photograph:
    """Return a photograph of what a frame shows, brighter by some stops, with 10 pixels more at either side."""
    linear = srgb_decode(np.pad(taken.rgb, ((0, 0), (10, 10), (0, 0)), mode="edge") / 255) * 2.0**stops
    return Photograph(np.round(255 * srgb_encode(linear.clip(0, 1))).astype(np.uint8), settings)


@pytest.mark.parametrize("stops", [-2.0, 0.0, 0.8])
def test_it_is_shown_cropped_and_as_bright_as_the_frame(stops: float) -> None:
    shown = compare(photograph_of(frame(), stops), frame(), 30).rgb
    assert shown.shape == (40, 30, 3)
    assert np.abs(shown.astype(int) - frame().rgb).max() <= 3


@pytest.mark.parametrize(
    ("size", "aspect", "kept"), [((40, 60), 0.75, (40, 30)), ((60, 30), 0.75, (40, 30)), ((1, 1), 0.75, (1, 1))]
)
def test_the_crop_is_the_middle_as_large_as_the_picture_has_it(
    size: tuple[int, int], aspect: float, kept: tuple[int, int]
) -> None:
    rgb: NDArray[np.uint8] = np.zeros((*size, 3), np.uint8)
    rgb[size[0] // 2, size[1] // 2] = 255
    crop = cropped(rgb, aspect)
    assert crop.shape[:2] == kept
    assert crop[kept[0] // 2, kept[1] // 2, 0] == 255


@pytest.mark.parametrize(
    ("settings", "stops", "sentences"),
    [
        (
            PhotoSettings(1 / 32, 4.0, 200, "automatic", "tungsten"), 1.0,
            (
                "The plan is 1/60 s, f/4, ISO 100; the photograph has 1/30 s, f/4, ISO 200.",
                "By its settings it is exposed 2.0 stops more than planned.",
                "By its pixels it came out 1.0 stops brighter than planned, so the light on the table is 1.0 stops "
                "weaker than planned, as far as the camera's own processing tells.",
                "White balance in the plan: 4000 K; of the photograph: automatic, for tungsten.",
            ),
        ),
        (
            PhotoSettings(1 / 64, 4.0, 100, "by hand"), 0.0,
            (
                "The plan is 1/60 s, f/4, ISO 100; the photograph has 1/60 s, f/4, ISO 100.",
                "By its settings it is exposed as planned.",
                "By its pixels it came out as planned, so the light on the table is as planned, as far as the camera's "
                "own processing tells.",
                "White balance in the plan: 4000 K; of the photograph: by hand.",
            ),
        ),
        (
            PhotoSettings(shutter_s=1 / 64), -1.0,
            (
                "The plan is 1/60 s, f/4, ISO 100; the photograph has 1/60 s; its file does not say f-number and ISO.",
                "By its pixels it came out 1.0 stops darker than planned.",
                "White balance in the plan: 4000 K; the photograph's file does not say its own.",
            ),
        ),
        (
            PhotoSettings(), 0.0,
            (
                "The plan is 1/60 s, f/4, ISO 100; the photograph's file does not say its settings.",
                "By its pixels it came out as planned.",
                "White balance in the plan: 4000 K; the photograph's file does not say its own.",
            ),
        ),
    ],
)  # fmt: skip
def test_its_settings_are_compared_with_the_plan_in_stops(
    settings: PhotoSettings, stops: float, sentences: tuple[str, ...]
) -> None:
    assert compare(photograph_of(frame(), stops, settings), frame(), 30).sentences[:-1] == sentences


def test_what_was_done_to_it_is_said() -> None:
    told = compare(photograph_of(frame(), 1.0), frame(), 30).sentences[-1]
    assert told == (
        "It is shown cropped in the middle to the prediction's shape and made 1.0 stops darker; it is not aligned. "
        "This copy has none of its EXIF: no place, time or serial number."
    )
