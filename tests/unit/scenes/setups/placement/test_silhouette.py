"""The silhouette: what the subject hides, and where the sheet shows round it."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.setups.placement.silhouette import CELLS, silhouette_of
from tests.unit.scenes.setups.test_place import stage
from tests.unit.scenes.setups.test_setup import box

HALF_CM = 6.0
CUBE = stage(parts=[box("cube", (2 * HALF_CM, 2 * HALF_CM, 2 * HALF_CM), (0, 0, HALF_CM))])
SILHOUETTE = silhouette_of(CUBE.subject, CUBE.view)
CELL_CM = 2 * CUBE.view.tan_half_height * -CUBE.view.at_cm[1] / CELLS


def cover(*at_cm: float) -> float:
    return float(SILHOUETTE.cover_cm(np.array([at_cm]))[0])


def test_what_is_behind_the_subject_is_covered_and_what_is_beside_or_before_it_is_not() -> None:
    assert cover(0, 20, HALF_CM) > 0
    assert cover(0, -20, HALF_CM) < 0
    assert cover(25, 20, HALF_CM) < 0
    assert cover(0, 20, 60) == -np.inf  # outside the frame
    assert cover(0, -200, HALF_CM) == -np.inf  # behind the camera


@pytest.mark.parametrize("x", [2.0, 4.0])
def test_cover_is_the_distance_from_the_outline(x: float) -> None:
    """The outline of a cube is its front face seen from the camera: 6 cm aside at its depth, more behind it."""
    lens = -CUBE.view.at_cm[1]
    outline = HALF_CM * (lens + 15) / (lens - HALF_CM)
    assert cover(x, 15, HALF_CM) == pytest.approx(outline - x, abs=2.5 * CELL_CM)


def test_free_and_covered_cells_make_up_the_frame() -> None:
    covered = SILHOUETTE.covered.sum()
    assert len(SILHOUETTE.free_rays()) + covered == CELLS**2
    assert 0.3 < covered / CELLS**2 < 0.7
    assert np.isfinite(SILHOUETTE.depth_cm[SILHOUETTE.covered]).all()
