"""Exposures in a few characters."""

from __future__ import annotations

import pytest

from gallery.captions.camera import body_line
from gallery.captions.exposure import aperture_name, shared_exposure_words
from render.camera.exposure import Exposure
from scenes.stage.cameras import camera_bodies
from tests.support.sheets.frames import unlit_frame

SHORT, LONG, NEARER = Exposure(1 / 60, 50, 1.7), Exposure(1 / 30, 50, 1.7), Exposure(1 / 60, 50, 1.7, 0.2)


@pytest.mark.parametrize(
    ("f_number", "magnification", "name"),
    [(8, 0.0, "f/8"), (8, 0.05, "f/8"), (8, 0.414, "f/8 (f/11.3 effective)"), (5.6, 1, "f/5.6 (f/11.2 effective)")],
)
def test_the_effective_f_number_is_named_where_it_matters(f_number: float, magnification: float, name: str) -> None:
    assert aperture_name(Exposure(1, 100, f_number, magnification)) == name


def test_a_camera_body_is_said_in_a_line() -> None:
    assert body_line(camera_bodies()["phone"]) == (
        "a phone's main lens: 4.4 mm on 5.64 x 4.23 mm, f/1.7 only, ISO 50 to 3200, 10 s to 1/8000 s"
    )
    assert body_line(camera_bodies()["camera"]) == (
        "a full-frame camera with a zoom: 24 to 105 mm on 36 x 24 mm, f/1.4 to f/32, ISO 100 to 12800, 30 s to 1/8000 s"
    )


@pytest.mark.parametrize(
    ("taken", "words"),
    [
        ([("loop", SHORT), ("rim", SHORT)], "one exposure in all frames: 1/60 s  f/1.7  ISO 50"),
        (
            [("loop", SHORT), ("rim", NEARER)],
            "one exposure in all frames: 1/60 s  f/1.7  ISO 50",
        ),
        ([("loop", SHORT), ("rim", LONG)], "each frame has its own exposure"),
        ([("loop", SHORT), ("loop", SHORT), ("rim", LONG), ("rim", LONG)], "one exposure in all finishes of a setup"),
        ([("loop", SHORT), ("loop", LONG), ("rim", SHORT), ("rim", LONG)], "each frame has its own exposure"),
    ],
)
def test_a_sheet_says_which_frames_share_an_exposure(taken: list[tuple[str, Exposure]], words: str) -> None:
    frames = [unlit_frame(setup, exposure=exposure) for setup, exposure in taken]
    assert shared_exposure_words(frames) == words
