"""Lines under a frame, from readings at hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from gallery.captions.frame import frame_lines, highlight_lines, reading_lines
from render.frame import Frame
from tests.support.sheets.frames import unlit_frame


def frame(sheet_over_white: float | None = None, **readings: Any) -> Frame:
    taken = unlit_frame(**readings)
    lamps = tuple(replace(lamp, sheet_over_white=sheet_over_white) for lamp in taken.setup.lamps)
    shot = replace(taken.shot, setup=replace(taken.setup, lamps=lamps))
    return replace(taken, shot=shot, setup=shot.setup)


@pytest.mark.parametrize(
    ("readings", "lines"),
    [
        ({}, []),
        ({"backdrop_stops": -0.24}, ["backdrop 0.2 stops under the model"]),
        (
            {"backdrop_stops": 3.0, "backdrop_clipped_percent": 12.4},
            ["backdrop 3.0 stops over the model, sheet 12 % burnt"],
        ),
        ({"backdrop_stops": 3.0, "backdrop_clipped_percent": 1.0}, ["backdrop 3.0 stops over the model"]),
        ({"backdrop_clipped_percent": 12.4}, ["sheet 12 % burnt"]),
        (
            {"clipped_percent": 3.25, "room_stops": 2.0},
            ["subject 3.2 % clipped", "room light 2.0 stops under all of it"],
        ),
    ],
)
def test_what_is_measured_has_a_line_and_what_is_not_has_none(readings: dict[str, float], lines: list[str]) -> None:
    assert reading_lines(frame(**readings)) == lines


def test_a_sheet_that_should_be_white_is_not_said_to_be_burnt() -> None:
    white = frame(1.1, backdrop_stops=3.0, backdrop_clipped_percent=60.0)
    assert reading_lines(white) == ["backdrop 3.0 stops over the model"]


def test_shine_has_its_strength_and_the_area_of_highlights() -> None:
    shiny = frame(shine_lightness=4.86, highlight_percent=2.94, texture_contrast_stops=0.853)
    assert highlight_lines(shiny) == ["shine 4.9, highlights on 2.9 % of the model", "fine contrast 0.85 stops"]


def test_what_the_exposure_was_metered_by_is_said_unless_it_is_fixed() -> None:
    metered = frame()
    assert "metered: facing the key" in frame_lines(metered)
    fixed = metered.shot.camera.model_copy(update={"shutter_s": 0.5, "iso": 100.0})
    lines = frame_lines(replace(metered, shot=replace(metered.shot, camera=fixed)))
    dark = frame_lines(frame(subject_lux=0.0))
    assert not any(line.startswith("metered") for line in (*lines, *dark))
