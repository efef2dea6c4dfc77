"""How far the frames of shots are: passes and frames count, each kind by its own pace."""

from __future__ import annotations

import pytest

from gallery.budget.costs import FRAME_COST, GAIN_COST, PASS_COST, frame_costs, megapixels
from gallery.budget.shots_progress import ShotsProgress
from gallery.budget.time_left import USUAL, Kind
from tests.support.clock import FakeClock
from tests.support.frames import unlit_frame

SHOTS = [unlit_frame(setup).shot for setup in ("loop", "loop", "rim")]


def test_a_lamp_image_that_frames_share_is_denoised_once() -> None:
    size, lamps = megapixels(SHOTS[0]), len(SHOTS[0].emitter_shapes)
    costs = frame_costs(SHOTS)
    assert costs[0] == pytest.approx(size * (FRAME_COST + lamps * GAIN_COST))
    assert costs[1] == pytest.approx(size * FRAME_COST)


def test_the_time_left_is_that_of_the_passes_and_the_frames_to_come() -> None:
    clock = FakeClock()
    progress = ShotsProgress(SHOTS, 8, clock)
    costs, each = frame_costs(SHOTS), PASS_COST * megapixels(SHOTS[0])
    assert progress.status().doing == "tracing"
    assert progress.status().seconds_left == pytest.approx(8 * each * USUAL[Kind.tracing] + sum(costs))
    clock.now += 4 * each * 3
    progress.trace_step(4)
    assert progress.status().seconds_left == pytest.approx(4 * each * 3 + sum(costs))
    progress.trace_step(4)
    clock.now += costs[0] * 5
    progress.frame_step(0)
    assert progress.status().doing == "loop, 1 of 3"
    assert progress.status().seconds_left == pytest.approx(5 * sum(costs[1:]))
