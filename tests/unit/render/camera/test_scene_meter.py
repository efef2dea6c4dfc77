"""The meter of the whole frame."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.arrays import Image
from render.camera.exposure import LENS, REFLECTED, WHITE
from render.camera.scene_meter import scene_luminance

WHITE_OVER_METERED = WHITE / LENS / REFLECTED


def even(level: float) -> Image:
    return np.full((60, 80), level, np.float32)


@given(st.floats(1e-3, 1e5))
def test_an_even_frame_is_metered_at_its_luminance(level: float) -> None:
    assert scene_luminance(even(level)) == pytest.approx(level, rel=1e-5)


def test_a_patch_in_the_centre_counts_more_than_one_in_a_corner() -> None:
    centre, corner = even(1.0), even(1.0)
    centre[25:35, 35:45] = corner[:10, :10] = 2.0
    assert scene_luminance(centre) - 1 > 10 * (scene_luminance(corner) - 1) > 0


def test_the_weight_of_a_row_falls_as_a_gaussian_of_a_quarter_of_the_height() -> None:
    gains = []
    for row in (30, 45):  # from the centre by half a row, and by a quarter of the height more
        frame = even(1.0)
        frame[row] = 1.5
        gains.append(scene_luminance(frame) - 1)
    assert gains[1] / gains[0] == pytest.approx(np.exp(-0.5 * ((15.5 / 15) ** 2 - (0.5 / 15) ** 2)), rel=1e-3)


@given(st.integers(0, 99), st.floats(0.1, 3), st.floats(1e-2, 1e4))
def test_a_twentieth_of_the_frame_at_most_is_above_white(seed: int, spread: float, level: float) -> None:
    frame = (level * np.exp(spread * np.random.default_rng(seed).standard_normal((60, 80)))).astype(np.float32)
    assert (frame > WHITE_OVER_METERED * scene_luminance(frame) * (1 + 1e-6)).mean() <= 0.05


def test_a_frame_is_lowered_by_no_third_of_a_stop_more_than_it_takes() -> None:
    frame = even(1.0)
    frame[:, :8] = 100.0
    raised = scene_luminance(frame)
    assert (frame > WHITE_OVER_METERED * raised).mean() <= 0.05
    assert (frame > WHITE_OVER_METERED * raised / 2 ** (1 / 3)).mean() > 0.05


def test_a_black_frame_has_no_luminance() -> None:
    assert scene_luminance(even(0.0)) == 0
