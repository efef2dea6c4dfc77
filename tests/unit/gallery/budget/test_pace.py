"""The pace of work: of late steps, and not of those in which the machine slept."""

from __future__ import annotations

import pytest

from gallery.budget.pace import FEW, RECENT, Pace


def test_before_the_first_step_it_is_what_was_expected() -> None:
    assert Pace(2.0).seconds_per_cost == 2.0


def test_steps_count_by_their_cost() -> None:
    pace = Pace(100.0)
    pace.add(1.0, 1.0)
    pace.add(3.0, 6.0)
    assert pace.seconds_per_cost == pytest.approx(7 / 4)


@pytest.mark.parametrize("at", range(5))
@pytest.mark.parametrize("slept_s", [60.0, 120.0, 8 * 3600.0])
def test_a_step_in_which_the_machine_slept_is_left_out(at: int, slept_s: float) -> None:
    pace = Pace(1.0)
    for i in range(5):
        pace.add(2.0, 3.0 + (slept_s if i == at else 0))
    assert pace.seconds_per_cost == pytest.approx(1.5)


def test_steps_that_come_in_pairs_as_those_of_two_threads_all_count() -> None:
    pace = Pace(1.0)
    for i in range(20):
        pace.add(1.0, 4.0 * (i % 2))
    assert pace.seconds_per_cost == pytest.approx(2.0)


def test_a_machine_that_slept_twice_is_as_one_that_did_not() -> None:
    pace = Pace(1.0)
    for i in range(RECENT):
        pace.add(1.0, 1.0 + (600.0 if i in {10, 30} else 0))
    assert pace.seconds_per_cost == pytest.approx(1.0)


def test_a_machine_that_has_got_slower_is_seen_within_some_steps() -> None:
    pace = Pace(1.0)
    for _ in range(200):
        pace.add(1.0, 1.0)
    for _ in range(RECENT):
        pace.add(1.0, 4.0)
    assert pace.seconds_per_cost == pytest.approx(4.0)


def test_of_few_steps_all_count() -> None:
    pace = Pace(1.0)
    for seconds in (1.0, 99.0)[: FEW - 1]:
        pace.add(1.0, seconds)
    assert pace.seconds_per_cost == pytest.approx(50.0)
