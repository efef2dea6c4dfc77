"""Large frames made smaller for a page."""

from __future__ import annotations

import numpy as np
import pytest

from gallery.page.relight.reduction import reduced, reduced_size


@pytest.mark.parametrize(
    ("size", "smaller"),
    [((480, 640), (480, 640)), ((24, 32), (24, 32)), ((1200, 1600), (480, 640)), ((3000, 1), (640, 1))],
)
def test_no_side_is_longer_than_that_of_a_frame_of_no_stated_size(
    size: tuple[int, int], smaller: tuple[int, int]
) -> None:
    assert reduced_size(*size) == smaller


def test_light_is_averaged_over_what_a_pixel_covers() -> None:
    picture = np.random.default_rng(0).uniform(0, 50, (1280, 960, 3)).astype(np.float32)
    expected = picture.reshape(640, 2, 480, 2, 3).mean(axis=(1, 3))
    np.testing.assert_allclose(reduced(picture), expected, rtol=1e-5)


def test_a_small_picture_stays_as_it_is() -> None:
    picture = np.ones((64, 48, 3), np.float32)
    assert reduced(picture) is picture
