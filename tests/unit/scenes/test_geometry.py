"""Where things point and whether they touch."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from scenes.geometry import axes_facing, corners, direction_round, distance_to_board, round_and_rise, unit

Triple = tuple[float, float, float]
coordinate = st.floats(-1e3, 1e3, allow_subnormal=False)
directions = st.tuples(coordinate, coordinate, coordinate).filter(lambda v: np.linalg.norm(v) > 1e-3)


@given(directions)
def test_unit_keeps_the_direction_and_has_length_one(v: Triple) -> None:
    u = unit(v)
    assert np.linalg.norm(u) == pytest.approx(1, abs=1e-12)
    np.testing.assert_allclose(u * np.linalg.norm(v), v, rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize("v", [(0, 0, 0), (1e-160, 0, 0), (np.nan, 0, 0), (np.inf, 0, 0)])
def test_what_has_no_direction_is_refused(v: Triple) -> None:
    with pytest.raises(ValueError, match="has no direction"):
        unit(v)


@given(directions)
@example((0, 0, 1))
@example((0, 0, -1))
@example((0, 0, 40))
@example((1e-9, 0, 1))
@example((4e-5, 2e-7, 1))
@example((0, 1e-5, -1))
@example((1e-4, 1e-4, 1))
def test_axes_are_orthonormal_right_handed_and_face_the_direction(v: Triple) -> None:
    axes = axes_facing(v)
    assert np.isfinite(axes).all()
    np.testing.assert_allclose(axes.T @ axes, np.eye(3), atol=1e-9)
    assert np.linalg.det(axes) == pytest.approx(1, abs=1e-9)
    np.testing.assert_allclose(axes[:, 2], unit(v), atol=1e-12)


@given(directions)
def test_the_width_of_a_board_stays_level_and_its_height_points_up(v: Triple) -> None:
    axes = axes_facing(v)
    assert axes[2, 0] == pytest.approx(0, abs=5e-5)  # as good as straight up, x takes the place of level
    assert axes[2, 1] >= -5e-5


@pytest.mark.parametrize("up", [1.0, -1.0])
def test_a_board_facing_straight_up_or_down_lies_with_its_width_along_x(up: float) -> None:
    np.testing.assert_array_equal(axes_facing((0, 0, up)), [[1, 0, 0], [0, up, 0], [0, 0, up]])


@pytest.mark.parametrize(
    ("round_deg", "rise_deg", "way"),
    [
        (0, 0, (0, -1, 0)),
        (90, 0, (1, 0, 0)),
        (180, 0, (0, 1, 0)),
        (-90, 0, (-1, 0, 0)),
        (0, 90, (0, 0, 1)),
        (0, -90, (0, 0, -1)),
        (0, 45, (0, -(0.5**0.5), 0.5**0.5)),
    ],
)
def test_round_counts_from_the_camera_to_camera_right_and_rise_from_level(
    round_deg: float, rise_deg: float, way: Triple
) -> None:
    np.testing.assert_allclose(direction_round(round_deg, rise_deg), way, atol=1e-12)


@given(st.floats(-179.9, 179.9), st.floats(-89, 89), st.floats(0.1, 1e3))
def test_round_and_rise_are_read_back_from_any_distance(round_deg: float, rise_deg: float, far: float) -> None:
    assert round_and_rise(direction_round(round_deg, rise_deg) * far) == pytest.approx((round_deg, rise_deg), abs=1e-6)


@given(directions)
def test_a_direction_is_made_again_from_its_round_and_rise(v: Triple) -> None:
    np.testing.assert_allclose(direction_round(*round_and_rise(v)), unit(v), atol=1e-6)


@given(directions)
def test_corners_span_the_size_about_the_centre_and_lie_in_the_plane(v: Triple) -> None:
    at = np.array([3.0, -20.0, 15.0])
    a, b, c, d = corners(at, v, (20, 14))
    np.testing.assert_allclose((a + b + c + d) / 4, at, atol=1e-9)
    assert [np.linalg.norm(p) for p in (b - a, c - b, c - a)] == pytest.approx([20, 14, np.hypot(20, 14)])
    np.testing.assert_allclose((np.array([a, b, c, d]) - at) @ unit(v), 0, atol=1e-9)


@pytest.mark.parametrize(
    ("point", "distance"),
    [
        ((0, 0, 5), 5),
        ((0, 0, -5), 5),
        ((9, 6, 0), 0),
        ((13, 0, 0), 3),
        ((13, 11, 0), 5),
        ((13, 0, 4), 5),
        ((-12, -8, 1), 6**0.5),
    ],
)
def test_the_distance_to_a_board_is_to_its_face_edge_or_corner(point: Triple, distance: float) -> None:
    got = distance_to_board(np.array([point], float), (0, 0, 0), (0, 0, 1), (20, 14))
    assert got == pytest.approx([distance])


@given(directions, st.tuples(coordinate, coordinate, coordinate))
def test_no_point_of_a_board_is_nearer_than_its_distance(v: Triple, point: Triple) -> None:
    at, p = np.array([1.0, 2.0, 3.0]), np.array([point])
    distance = distance_to_board(p, at, v, (20, 14))[0]
    a, b, _, d = corners(at, v, (20, 14))
    u, w = (g.reshape(-1, 1) for g in np.meshgrid(np.linspace(0, 1, 41), np.linspace(0, 1, 41)))
    spread: NDArray[np.float64] = np.linalg.norm(a + u * (b - a) + w * (d - a) - p, axis=1)
    assert distance <= spread.min() + 1e-9
    assert spread.min() <= distance + 0.31  # half the diagonal between the points spread over it
