"""A sheet that another run has made as it is asked for is not made again."""

from __future__ import annotations

from pathlib import Path

import pytest

from gallery.budget.goal import Goal
from gallery.collection.member import Member
from gallery.collection.other_runs import OtherRuns
from gallery.sheet.request import Request
from tests.support.sheets.made import write_made_sheet

ORC = Member(Path("orc.toml"), "orc.toml", "orc", "orc")
REQUEST = Request(file="orc.toml", sizing={}, setups=("loop",), quality="draft")


def write(out: Path, request: Request = REQUEST, rounds: int = 2, grain: float | None = None) -> None:
    """Write the sheet of the member, as a run does."""
    asked = request.seen_from(out / "orc").model_dump(mode="json")
    write_made_sheet(out / "orc", rounds=rounds, grain=grain, asked={**asked, "fingerprint": "0f3a"})


def test_a_sheet_counts_that_was_written_since_the_run_began_by_another_one(tmp_path: Path) -> None:
    write(tmp_path)
    others = OtherRuns(tmp_path, [ORC])
    assert not others.have_made(ORC, REQUEST, Goal(rounds=1))
    write(tmp_path)
    assert others.have_made(ORC, REQUEST, Goal(rounds=1))
    others.note_own(ORC)
    assert not others.have_made(ORC, REQUEST, Goal(rounds=1))


@pytest.mark.parametrize(
    ("goal", "grain", "is_enough"),
    [
        (Goal(rounds=2), None, True),
        (Goal(rounds=3), None, False),
        (Goal(rounds=3, grain=0.01), 0.009, True),
        (Goal(rounds=3, grain=0.01), 0.011, False),
        (Goal(rounds=3, grain=0.01), None, False),
    ],
)
def test_it_has_to_be_as_far_as_the_goal_wants(
    tmp_path: Path, goal: Goal, grain: float | None, *, is_enough: bool
) -> None:
    others = OtherRuns(tmp_path, [ORC])
    assert not others.have_made(ORC, REQUEST, goal)
    write(tmp_path, grain=grain)
    assert others.have_made(ORC, REQUEST, goal) == is_enough


@pytest.mark.parametrize("change", [{"size": (48, 64)}, {"setups": ("rim",)}, {"file": "elf.toml"}])
def test_a_sheet_that_was_asked_for_otherwise_is_another(tmp_path: Path, change: dict[str, object]) -> None:
    others = OtherRuns(tmp_path, [ORC])
    write(tmp_path, REQUEST.model_copy(update=change))
    assert not others.have_made(ORC, REQUEST, Goal(rounds=1))
