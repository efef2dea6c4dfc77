"""The rounds of a sheet in the store: planned once, whichever run comes first."""

from __future__ import annotations

import threading
from pathlib import Path

from render.images.store.round_entries import RoundEntries
from render.images.store.store import Store


def test_of_runs_at_once_one_plans_a_round_and_all_follow_its_plan(tmp_path: Path) -> None:
    begun, plans, followed = threading.Barrier(4), list[int](), list[list[int]]()

    def run(number: int) -> None:
        def plan() -> list[int]:
            plans.append(number)
            return [number, 8]

        begun.wait()
        followed.append(RoundEntries(Store(tmp_path), "0f3a", 2).load_or_plan(3, plan))

    runs = [threading.Thread(target=run, args=(number,)) for number in range(4)]
    for thread in runs:
        thread.start()
    for thread in runs:
        thread.join(10)
    assert len(plans) == 1
    assert followed == [[plans[0], 8]] * 4
    assert RoundEntries(Store(tmp_path), "0f3a", 2).load(4) is None
    assert RoundEntries(Store(tmp_path), "1b2c", 2).load(3) is None


def test_a_round_that_cannot_be_stored_is_planned_once_by_a_run_too(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    entries, plans = RoundEntries(Store(tmp_path / "file"), "0f3a", 1), list[int]()

    def plan() -> list[int]:
        plans.append(12)
        return plans

    assert [entries.load_or_plan(3, plan), entries.load_or_plan(3, plan)] == [[12], [12]]
    assert plans == [12]


def test_the_plan_of_a_run_that_slept_while_it_planned_does_not_replace_that_of_another(tmp_path: Path) -> None:
    entries = RoundEntries(Store(tmp_path), "0f3a", 1)

    def plan_asleep() -> list[int]:
        for path in tmp_path.glob("*.lease"):  # as one that is taken over
            path.unlink()
        assert RoundEntries(Store(tmp_path), "0f3a", 1).load_or_plan(3, lambda: [12]) == [12]
        return [16]

    assert entries.load_or_plan(3, plan_asleep) == [12]
    assert RoundEntries(Store(tmp_path), "0f3a", 1).load(3) == [12]
