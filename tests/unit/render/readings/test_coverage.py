"""Pixels that show one thing alone, and what stands for a subject that is too thin for any."""

from __future__ import annotations

import numpy as np

from render.readings.coverage import FEWEST_PX, most_covered, wholly_covered


def test_mixed_pixels_are_left_out() -> None:
    coverage = np.array([[0.0, 0.5, 0.95, 1.0]], np.float32)
    assert wholly_covered(coverage).tolist() == [[False, False, False, True]]


def test_of_a_subject_with_whole_pixels_only_those_count() -> None:
    coverage = np.zeros((20, 20), np.float32)
    coverage[2:12, 2:12] = 1.0
    coverage[1, 1:13] = 0.9
    np.testing.assert_array_equal(most_covered(coverage), coverage == 1.0)


def test_of_a_thin_subject_the_fullest_pixels_count_but_none_that_shows_it_less_than_half_as_much() -> None:
    coverage = np.zeros((50, 50), np.float32)
    coverage[:, 10] = 0.6
    coverage[:, 11] = 0.2
    coverage[:5, 10] = 1.0
    chosen = most_covered(coverage)
    assert chosen[:, 10].all()
    assert not chosen[:, 11].any()
    assert chosen.sum() >= FEWEST_PX
    faint = np.zeros((50, 50), np.float32)
    faint[3, 3], faint[3, 4] = 0.8, 0.3
    assert np.argwhere(most_covered(faint)).tolist() == [[3, 3]]


def test_where_there_is_nothing_nothing_counts() -> None:
    assert not most_covered(np.zeros((4, 4), np.float32)).any()
