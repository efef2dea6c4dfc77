"""Grids and snoots: what black tubes let through by angle."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.lamps.distribution import Distribution
from scenes.lamps.modifiers import Tube, grid, snoot

lengths = st.floats(0.02, 50)


@pytest.mark.parametrize("polar_deg", [0, 5, 10, 20, 26, 27])
def test_light_passes_where_the_far_end_is_seen_through_the_near_one(polar_deg: float) -> None:
    """Count points of the near end, of diameter 1, from which the line at that angle leaves by the far end, 2 away."""
    x, y = np.meshgrid(*[(np.arange(1000) + 0.5) / 1000 - 0.5] * 2)
    near = np.hypot(x, y) < 0.5
    far = np.hypot(x + 2 * np.tan(np.radians(polar_deg)), y) < 0.5
    assert Tube(2)(polar_deg) == pytest.approx((near & far).sum() / near.sum(), abs=1e-3)


@given(lengths)
def test_all_passes_straight_ahead_and_nothing_from_the_cut_off_on(length: float) -> None:
    tube = Tube(length)
    beyond = np.linspace(tube.cut_off_deg * (1 + 1e-9), 180, 100)
    assert tube(0) == 1
    assert tube(0.99 * tube.cut_off_deg) > 0
    assert not tube(beyond).any()


@given(lengths)
def test_less_passes_the_farther_from_straight_ahead(length: float) -> None:
    assert np.all(np.diff(Tube(length)(np.linspace(0, 180, 200))) <= 0)


@pytest.mark.parametrize("grid_deg", [2, 10, 40, 170])
def test_a_grid_is_black_from_half_its_angle_on(grid_deg: float) -> None:
    assert grid(grid_deg).cut_off_deg == pytest.approx(grid_deg / 2)


@given(st.floats(0.1, 10), st.floats(0.1, 10))
def test_a_snoot_cuts_off_at_the_angle_of_width_over_length(width: float, depth: float) -> None:
    assert snoot(depth, width).cut_off_deg == pytest.approx(np.degrees(np.arctan2(width, depth)))


def test_a_longer_snoot_lets_less_out_of_a_face() -> None:
    face = Distribution.lambertian()
    fluxes = [face.times(snoot(length, 5)).flux() for length in (1, 2, 5, 10, 20)]
    assert np.all(np.diff(fluxes) < 0)


@pytest.mark.parametrize(
    ("make", "numbers"),
    [
        (grid, (1,)),
        (grid, (171,)),
        (grid, (np.nan,)),
        (snoot, (1, np.nan)),
        (snoot, (0, 5)),
        (snoot, (5, -1)),
        (snoot, (np.inf, 5)),
        (Tube, (0,)),
    ],
)
def test_what_is_no_tube_is_refused(make: type[Tube], numbers: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="should"):
        make(*numbers)
