"""Linear RGB spaces by their primaries."""

from __future__ import annotations

import numpy as np
import pytest

from materials.colour.rgb_space import XYZ_TO_LINEAR_REC2020, xyz_to_linear_rgb
from materials.light.observer import D65_XYZ


def test_the_white_becomes_one_in_every_channel() -> None:
    assert pytest.approx([1, 1, 1], abs=1e-12) == XYZ_TO_LINEAR_REC2020 @ D65_XYZ


def test_rec_2020_is_that_of_the_recommendation_but_for_the_sums_of_its_white() -> None:
    # ITU-R BT.2087 (from memory)
    published = [[1.71665, -0.35567, -0.25337], [-0.66668, 1.61648, 0.01577], [0.01764, -0.04277, 0.94210]]
    np.testing.assert_allclose(XYZ_TO_LINEAR_REC2020, published, atol=1e-3)


def test_a_primary_is_pure() -> None:
    primaries = [(0.7, 0.3), (0.2, 0.7), (0.15, 0.05)]
    (x, y), white = primaries[1], np.array([0.95, 1.0, 1.09])
    green = xyz_to_linear_rgb(primaries, white) @ [x / y, 1.0, (1 - x - y) / y]
    np.testing.assert_allclose(green / green[1], [0, 1, 0], atol=1e-12)
