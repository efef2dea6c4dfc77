"""What it will cost to reach a grain, as rounds go on."""

from __future__ import annotations

import pytest

from render.allocation.allotment import ImageState, spent
from render.allocation.outlook import FALL, MOST_ROUNDS, cost_at_grain
from render.allocation.schedule import GROWTH
from render.images.passes.rungs import rungs_to

IMAGES = [ImageState(0, 8, 0.3, 0.2), ImageState(1, 8, 0.3, 0.2)]


def test_a_grain_that_is_reached_costs_no_more() -> None:
    assert cost_at_grain(IMAGES, [0.01, 0.02], [{0: 1e-4}, {1: 4e-4}], 0.02) == spent(IMAGES)


@pytest.mark.parametrize("factor", [0.9, 0.5, 0.2])
def test_a_frame_of_one_image_goes_to_the_first_rung_that_is_fine_enough(factor: float) -> None:
    enough = 8 * factor ** (-2 / FALL)
    rung = next(rung for rung in rungs_to(8, 4096) if rung >= enough)
    assert cost_at_grain(IMAGES[:1], [0.01], [{0: 1e-4}], 0.01 * factor) == pytest.approx((0.3 + 0.2) * rung)


def test_frames_that_are_fine_enough_get_less_than_the_coarsest() -> None:
    finer, even = ([{0: share}, {1: 4e-4}] for share in (1e-5, 4e-4))
    assert cost_at_grain(IMAGES, [1e-5**0.5, 0.02], finer, 0.008) < cost_at_grain(IMAGES, [0.02, 0.02], even, 0.008)


def test_a_grain_that_is_out_of_reach_costs_what_so_many_rounds_do() -> None:
    cost = cost_at_grain(IMAGES, [0.01], [{0: 1e-4, 1: 1e-4}], 1e-9)
    assert cost >= spent(IMAGES) * (1 + GROWTH) ** (MOST_ROUNDS - 1)
    assert cost_at_grain(IMAGES, [0.01], [{0: 0.0}], 0.005) == spent(IMAGES)
