"""Rectangular parts of frames."""

from __future__ import annotations

import numpy as np

from render.camera.window import window_about


def test_a_window_has_all_pixels_of_a_mask_and_its_margin_and_ends_at_the_frame() -> None:
    mask = np.zeros((40, 50), bool)
    mask[10, 3] = mask[12, 20] = True
    assert window_about(mask, 5) == (slice(5, 18), slice(0, 26))
    assert mask[window_about(mask, 0)].shape == (3, 18)
    assert mask[window_about(mask, 100)].shape == mask.shape


def test_an_empty_mask_has_an_empty_window() -> None:
    mask = np.zeros((40, 50), bool)
    assert mask[window_about(mask, 5)].size == 0
