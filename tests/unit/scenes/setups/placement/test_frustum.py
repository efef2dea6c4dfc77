"""How far a body is outside the frame: against points all over it, projected one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scenes.geometry import direction_round
from scenes.setups.placement.bodies import bodies_of
from scenes.setups.placement.collisions import Body
from scenes.setups.placement.frustum import FRAME_MARGIN, margin_outside
from tests.unit.scenes.setups.test_place import STAGE

VIEW = STAGE.view
CLOSE_CM = 0.3
NEAR_CM = 25.0  # from the lens, where the frame is narrower than the gaps between few points


def outside(body: Body) -> float:
    return float(margin_outside(bodies_of(body), VIEW)[0])


def is_in_frame(body: Body) -> bool:
    """Return whether a point of a body projects into the frame and what is reckoned to it."""
    is_near = np.linalg.norm(np.asarray(body.at_cm) - VIEW.at_cm) < NEAR_CM
    points = bodies_of(body).spread(601 if is_near else 61)[0]
    inner = [points] if not body.is_ball else [body.at_cm + share * (points - body.at_cm) for share in (0, 0.5, 1)]
    x, y, depth = VIEW.project(np.vstack(inner)).T
    return bool(((np.abs(x) < FRAME_MARGIN) & (np.abs(y) < FRAME_MARGIN) & (depth > 0)).any())


@settings(max_examples=150, deadline=None)
@given(
    st.tuples(st.floats(-60, 60), st.floats(-90, 60), st.floats(0, 70)), st.floats(-180, 180), st.floats(-90, 90),
    st.tuples(st.floats(2, 40), st.floats(2, 40)), st.booleans(),
)  # fmt: skip
def test_a_body_is_outside_where_none_of_its_points_is_in_the_frame(
    at: tuple[float, float, float], round_deg: float, rise_deg: float, size: tuple[float, float], is_ball: bool
) -> None:
    x, y, z = map(float, direction_round(round_deg, rise_deg))
    body = Body("body", at, (x, y, z), (size[0], size[0]) if is_ball else size, is_ball)
    margin = outside(body)
    if abs(margin) > CLOSE_CM:
        assert (margin > 0) is not is_in_frame(body)


@pytest.mark.parametrize("gap_cm", [-2.0, 0.5, 3.0])
def test_beside_the_frame_the_margin_is_the_distance_from_its_side(gap_cm: float) -> None:
    """At the lens's height a ball's distance from the side plane is that of its centre less its radius."""
    along = VIEW.rays(np.array([FRAME_MARGIN]), np.array([0.0]))[0]
    outward = np.cross(VIEW.axes[:, 1], along)
    outward *= np.sign(outward @ VIEW.axes[:, 0]) / np.linalg.norm(outward)
    x, y, z = map(float, np.asarray(VIEW.at_cm) + 50 * along + (3 + gap_cm) * outward)
    assert outside(Body("ball", (x, y, z), (0, 1, 0), (6, 6), True)) == pytest.approx(gap_cm)


def test_behind_the_camera_nothing_is_in_the_frame() -> None:
    x, y, z = VIEW.at_cm
    assert outside(Body("board", (x, y - 20, z), (0, 1, 0), (200, 200))) > 0
