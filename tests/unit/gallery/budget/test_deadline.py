"""Deadlines: after a duration, by the clock that stops while the machine sleeps, or at a time of the wall clock."""

from __future__ import annotations

import time
from datetime import datetime

import pytest

from gallery.budget.deadline import after, at_time
from scenes.errors import InputError
from tests.support.clock import FakeClock

EVENING = datetime(2026, 11, 27, 23, 0).timestamp()


def test_a_duration_ends_so_long_after_it_was_asked_for() -> None:
    clock = FakeClock(1000.0)
    deadline = after("1h30m", clock)
    clock.now += 5000
    assert deadline.seconds_left() == 400
    clock.now += 500
    assert deadline.seconds_left() == -100


@pytest.mark.parametrize("typed", ["soon", "0s", "0m", "31d", "800h", "30", ""])
def test_a_duration_that_is_none_is_wrong_input(typed: str) -> None:
    with pytest.raises(InputError, match=r"--for .*: give how long to work, up to 30 days, as 30m, 6h or 1h30m"):
        after(typed)


@pytest.mark.parametrize(
    ("typed", "hours"),
    [
        ("07:00", 8), ("7:00", 8), ("23:30", 0.5), ("23:00", 24), ("22:59:30", 24 - 0.5 / 60), ("2026-11-28T07:00", 8),
        ("2026-11-29T07:00:00", 32), ("2026-11-28 07:00", 8), (" 07:00 ", 8),
    ],
)  # fmt: skip
def test_a_time_of_day_is_the_next_one(typed: str, hours: float) -> None:
    assert at_time(typed, FakeClock(EVENING)).seconds_left() == pytest.approx(hours * 3600)


def test_a_clock_that_is_set_is_seen_at_once() -> None:
    clock = FakeClock(EVENING)
    deadline = at_time("07:00", clock)
    clock.now += 2 * 3600
    assert deadline.seconds_left() == 6 * 3600
    clock.now -= 3600
    assert deadline.seconds_left() == 7 * 3600


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="a process on Windows cannot change its time zone")
def test_a_night_in_which_summer_time_ends_is_an_hour_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
        time.tzset()
        evening = FakeClock(datetime(2026, 10, 24, 23, 0).timestamp())
        assert at_time("07:00", evening).seconds_left() == 9 * 3600
    time.tzset()


@pytest.mark.parametrize("typed", ["", "7", "25:00", "07.00", "7am", "tomorrow", "2026-11-28", "2026-13-01T07:00"])
def test_a_time_that_is_none_is_wrong_input(typed: str) -> None:
    with pytest.raises(InputError, match=r"--until .*: give a time of day, as 07:00, or a day with it, as 2026-11-27"):
        at_time(typed, FakeClock(EVENING))


@pytest.mark.parametrize(("typed", "away"), [("2026-11-27T22:00", "past"), ("2027-11-27T22:00", "more than 30 days")])
def test_a_moment_that_nobody_can_mean_is_wrong_input(typed: str, away: str) -> None:
    with pytest.raises(InputError, match=f"--until {typed}: is {away}.*; it is 2026-11-27T23:00 now"):
        at_time(typed, FakeClock(EVENING))
