"""The pixels where a part of the subject is visible."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import trimesh
from numpy.typing import NDArray
from scipy.ndimage import binary_closing

from render.camera.lamp_bodies import camera_rays
from render.camera.visibility import closed_mask, visible_mask
from render.description.scene import Camera
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject

CAMERA = Camera(np.array([0.0, -0.5, 0.02]), np.array([[1.0, 0, 0], [0, 0, 1], [0, 1, 0]]), 0.1, 60, 80)


def blocks() -> Subject:
    left, right = (trimesh.creation.box((2, 2, 4)) for _ in range(2))
    left.apply_translation([-2, 0, 2])
    right.apply_translation([2, 0, 2])
    return subject_from_parts("blocks", [(name, b.vertices, b.faces) for name, b in (("left", left), ("right", right))])


def only(name: str) -> Subject:
    subject = blocks()
    return replace(subject, parts=subject.matching(name))


def depth_of(plane_y_m: float) -> NDArray[np.float32]:
    """Return the distance of an upright plane in every pixel."""
    return np.asarray((plane_y_m - CAMERA.at[1]) / camera_rays(CAMERA)[..., 1], np.float32)


def test_a_part_is_seen_where_its_front_is_and_nowhere_else() -> None:
    seen = visible_mask(only("right"), CAMERA, depth_of(-0.01))
    rows, columns = np.nonzero(seen)
    half = CAMERA.tan_half_height * 0.49  # m across at the front, from the middle to the upper edge
    expected = np.array([0.01, 0.03]) / (half * 60 / 80) * 30 + 30
    assert np.abs([columns.min() - expected[0], columns.max() + 1 - expected[1]]).max() <= 1.5
    height = 0.04 / half * 40
    assert abs(seen.sum() - (expected[1] - expected[0]) * height) < 0.1 * seen.sum()
    assert rows.min() > 0


def test_what_stands_before_a_part_hides_it() -> None:
    assert not visible_mask(only("left"), CAMERA, depth_of(-0.2)).any()


def test_a_part_out_of_the_frame_is_not_seen() -> None:
    away = replace(CAMERA, at=np.array([1.0, -0.5, 0.02]))
    assert not visible_mask(only("left"), away, depth_of(-0.01)).any()


def test_a_part_is_seen_wherever_one_of_several_depths_shows_it() -> None:
    hidden, shown = depth_of(-0.2), depth_of(-0.01)
    np.testing.assert_array_equal(
        visible_mask(only("right"), CAMERA, hidden, shown), visible_mask(only("right"), CAMERA, shown)
    )


def test_gaps_are_closed_as_over_the_whole_frame() -> None:
    """Closing looks at the pixels about those that are seen alone."""
    row, column = np.nonzero(np.random.default_rng(1).uniform(size=(80, 60)) < 0.2)
    for inside in (np.ones(len(row), bool), (row > 30) & (row < 60) & (column > 20)):
        mask = np.zeros((80, 60), bool)
        mask[row[inside], column[inside]] = True
        closed = binary_closing(mask, np.ones((3, 3))) | mask
        np.testing.assert_array_equal(closed_mask(row[inside], column[inside], mask.shape), closed)
