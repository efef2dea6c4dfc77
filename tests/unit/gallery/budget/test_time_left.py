"""The time left: by the pace of each kind of work, without steps in which the machine slept."""

from __future__ import annotations

import pytest

from gallery.budget.time_left import LEAST_SLOWNESS, USUAL, Kind, TimeLeft
from tests.support.clock import FakeClock

COST, STEP_S = 100.0, 2.0


def working(clock: FakeClock, steps: int) -> TimeLeft:
    """Return the time left of tracing, after so many steps of unit cost."""
    left = TimeLeft(clock)
    left.expect(Kind.tracing, COST)
    for _ in range(steps):
        clock.now += STEP_S
        left.end_step(Kind.tracing, 1.0)
    return left


def test_before_the_first_step_it_is_what_is_usual() -> None:
    left = TimeLeft(FakeClock())
    left.expect(Kind.tracing, 10.0)
    left.expect(Kind.frames, 5.0)
    assert left.seconds == pytest.approx(10 * USUAL[Kind.tracing] + 5 * USUAL[Kind.frames])
    assert left.share == 0.0


def test_each_kind_has_a_pace_of_its_own() -> None:
    clock = FakeClock()
    left = working(clock, 50)
    left.expect(Kind.frames, 10.0)
    left_of_tracing = 50 * STEP_S
    clock.now += 40.0
    left.end_step(Kind.frames, 4.0)
    assert left.seconds == pytest.approx(left_of_tracing + 6 * 10.0)


@pytest.mark.parametrize(("slowness", "taken"), [(3.0, 3.0), (1.0, 1.0), (0.01, LEAST_SLOWNESS)])
def test_before_the_first_frame_frames_are_as_slow_as_tracing_but_never_as_quick_as_a_gpu(
    slowness: float, taken: float
) -> None:
    clock = FakeClock()
    left = TimeLeft(clock)
    left.expect(Kind.tracing, 10.0)
    clock.now += 10 * USUAL[Kind.tracing] * slowness
    left.end_step(Kind.tracing, 10.0)
    left.expect(Kind.frames, 6.0)
    assert left.seconds == pytest.approx(6 * USUAL[Kind.frames] * taken)


def test_a_step_without_a_cost_is_part_of_the_next() -> None:
    clock = FakeClock()
    left = TimeLeft(clock)
    left.expect(Kind.tracing, 2.0)
    clock.now += 3.0
    left.end_step(Kind.tracing, 0.0)
    clock.now += 1.0
    left.end_step(Kind.tracing, 1.0)
    assert left.seconds == pytest.approx(4.0)


def test_the_time_left_goes_down_within_a_step_but_not_beyond_it() -> None:
    clock = FakeClock()
    left = working(clock, 50)
    for waited in (0.5, 1.5):
        clock.now += waited - (clock.now - 50 * STEP_S)
        assert left.seconds == pytest.approx(50 * STEP_S - waited)
    clock.now += 3600.0
    assert left.seconds == pytest.approx(49 * STEP_S)


@pytest.mark.parametrize("slept_s", [120.0, 8 * 3600.0])
def test_a_machine_that_slept_says_the_truth_at_the_next_step(slept_s: float) -> None:
    clock = FakeClock()
    left = working(clock, 50)
    clock.now += slept_s
    left.end_step(Kind.tracing, 1.0)
    assert left.seconds == pytest.approx(49 * STEP_S, rel=0.05)


def test_what_is_expected_anew_takes_the_place_of_what_was() -> None:
    clock = FakeClock()
    left = working(clock, 50)
    left.expect(Kind.tracing, 10.0)
    assert left.seconds == pytest.approx(10 * STEP_S)
    assert left.share == 0.0
    left.end_step(Kind.tracing, 10.0)
    assert left.seconds == 0.0
    assert left.share == 1.0
