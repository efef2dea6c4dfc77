"""The sheets of a folder are made whatever happens to one of them, and the index is true at every moment."""

from __future__ import annotations

import errno
import gc
import json
import weakref
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gallery.budget.deadline import Deadline
from gallery.budget.goal import Goal
from gallery.cluster.share import Share
from gallery.collection import making
from gallery.collection.entry import Entry, State
from gallery.collection.index import write_index
from gallery.collection.making import Make, in_order, make_collection
from gallery.collection.member import Member
from gallery.collection.scanning import Collection
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError
from scenes.subject.subject import Subject
from tests.support.arrangements import resolved
from tests.support.sheets.made import write_made_sheet

DRAFT = Goal(rounds=1)


def member(name: str, model: str | None = None, *mistakes: str) -> Member:
    return Member(Path("models", f"{name}.toml"), f"{name}.toml", name, model or name, mistakes)


def collection(*members: Member) -> Collection:
    return Collection(Path("models"), members, ())


class Maker:
    """Makes sheets of black frames; `errors` has what goes wrong, by member; keeps which model was lent to which."""

    def __init__(self, out: Path, grain: float | None = None, **errors: BaseException) -> None:
        self.out = out
        self.grain = grain
        self.errors = errors
        self.made: list[str] = []
        self.lent: dict[str, str | None] = {}
        self.opened: dict[int, str] = {}

    def __call__(self, member: Member, like: ResolvedArrangement | None, goal: Goal) -> ResolvedArrangement:
        self.lent[member.sheet] = None if like is None else self.opened[id(like)]
        if member.sheet in self.errors:
            raise self.errors[member.sheet]
        write_made_sheet(self.out / member.sheet, rounds=goal.rounds, grain=self.grain)
        self.made.append(member.sheet)
        arrangement = resolved(Arrangement(), None)
        self.opened[id(arrangement)] = member.sheet
        return arrangement


def make_all(
    some: Collection, out: Path, make: Make, report: Callable[[Entry], None] = lambda _: None, goal: Goal = DRAFT
) -> list[Entry]:
    return make_collection(some, out, make, goal, report)


def states(out: Path) -> dict[str, str]:
    facts: dict[str, Any] = json.loads((out / "index.json").read_text(encoding="utf-8"))
    return {entry["folder"]: entry["state"] for entry in facts["arrangements"]}


def test_the_index_is_true_before_and_after_each_sheet(tmp_path: Path) -> None:
    some = collection(member("a"), member("b"), member("c"))
    seen: list[dict[str, str]] = []
    make_all(some, tmp_path, Maker(tmp_path, b=InputError("b is wrong")), lambda _: seen.append(states(tmp_path)))
    assert seen == [
        {"a": "made", "b": "to come", "c": "to come"},
        {"a": "made", "b": "failed", "c": "to come"},
        {"a": "made", "b": "failed", "c": "made"},
    ]


@pytest.mark.parametrize(
    ("error", "sentence", "status"),
    [
        (InputError("a: is wrong"), "a: is wrong", 2),
        (RuntimeError("no renderer"), "no renderer", 1),
        (OSError(errno.ENOSPC, "No space left on device", "a/sheet.png"), "a/sheet.png: no space left on device", 1),
        (MemoryError(), "there is not enough memory for it", 1),
        (ZeroDivisionError("by zero"), "models/a.toml: ZeroDivisionError: by zero; the mistake is spruelight's", 1),
    ],
)
def test_what_fails_is_said_and_the_rest_is_made(tmp_path: Path, error: Exception, sentence: str, status: int) -> None:
    first, second = make_all(collection(member("a"), member("b")), tmp_path, Maker(tmp_path, a=error))
    assert first.failure is not None
    assert (first.failure.sentences, first.failure.status) == ((sentence,), status)
    assert second.failure is None
    facts = json.loads((tmp_path / "index.json").read_text(encoding="utf-8"))
    assert [entry["failure"] for entry in facts["arrangements"]] == [[sentence], []]


def test_an_interruption_ends_it_between_two_true_indices(tmp_path: Path) -> None:
    some = collection(member("a"), member("b"), member("c"))
    with pytest.raises(SystemExit):
        make_all(some, tmp_path, Maker(tmp_path, b=SystemExit(130)))
    assert states(tmp_path) == {"a": "made", "b": "to come", "c": "to come"}


@pytest.mark.slow
def test_a_sheet_of_an_earlier_run_stays_in_the_index_until_it_is_made_again(tmp_path: Path) -> None:
    some = collection(member("a"), member("b"), member("c"))
    make_all(some, tmp_path, Maker(tmp_path))
    with pytest.raises(SystemExit):
        make_all(some, tmp_path, Maker(tmp_path, a=RuntimeError("full"), b=SystemExit(130)))
    assert states(tmp_path) == {"a": "failed", "b": "made earlier", "c": "made earlier"}
    facts = json.loads((tmp_path / "index.json").read_text(encoding="utf-8"))
    assert [len(entry["frames"]) for entry in facts["arrangements"]] == [1, 1, 1]


@pytest.mark.slow
def test_a_sheet_that_another_run_makes_meanwhile_is_in_the_index(tmp_path: Path) -> None:
    seen: list[dict[str, str]] = []
    maker = Maker(tmp_path)

    def make(member: Member, like: ResolvedArrangement | None, goal: Goal) -> ResolvedArrangement:
        write_made_sheet(tmp_path / "c")
        return maker(member, like, goal)

    some = collection(member("a"), member("b"), member("c"))
    make_all(some, tmp_path, make, lambda _: seen.append(states(tmp_path)))
    assert seen[0] == {"a": "made", "b": "to come", "c": "made earlier"}
    assert seen[-1] == {"a": "made", "b": "made", "c": "made"}


def test_one_model_is_lent_to_those_that_share_it_and_to_no_other(tmp_path: Path) -> None:
    some = collection(member("a", "orc"), member("b", "elf"), member("c", "orc"), member("d", "orc"))
    maker = Maker(tmp_path, c=InputError("c is wrong"))
    make_all(some, tmp_path, maker)
    assert maker.made == ["a", "d", "b"]
    assert maker.lent == {"a": None, "c": "a", "d": "a", "b": None}


def test_what_has_a_mistake_comes_last_and_may_be_mended_until_then(tmp_path: Path) -> None:
    mended = member("a", None, "a: height_cm is missing")
    some = collection(mended, member("b"))
    assert [each.sheet for each in in_order(some.members)] == ["b", "a"]
    seen: list[dict[str, str]] = []
    make_all(some, tmp_path, Maker(tmp_path), lambda _: seen.append(states(tmp_path)))
    assert seen == [{"a": "failed", "b": "made"}, {"a": "made", "b": "made"}]


def test_a_disk_that_is_full_for_a_while_costs_no_more_than_an_index(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    written = 0

    def write(out: Path, *parts: Any) -> None:
        nonlocal written
        written += 1
        if written == 3:
            raise OSError(errno.ENOSPC, "No space left on device", str(out / "index.html"))
        write_index(out, *parts)

    monkeypatch.setattr(making, "write_index", write)
    make_all(collection(member("a"), member("b"), member("c")), tmp_path, Maker(tmp_path))
    assert f"{tmp_path / 'index.html'}: no space left on device" in capsys.readouterr().err
    assert set(states(tmp_path).values()) == {"made"}


@pytest.mark.slow
def test_no_model_stays_in_memory_after_its_sheet(tmp_path: Path) -> None:
    models: list[weakref.ref[Subject]] = []

    def make(member: Member, _: ResolvedArrangement | None, __: Goal) -> ResolvedArrangement:
        gc.collect()
        assert [model() for model in models] == [None] * len(models)
        arrangement = open_input(Path("stand-in:spoon"), {})
        shots = shots_of(arrangement, ["broad"], ["matt"], (24, 32))
        assert all(shot.receptors for shot in shots)
        write_made_sheet(tmp_path / member.sheet)
        assert arrangement.model is not None
        models.append(weakref.ref(arrangement.model))
        return arrangement

    entries = make_all(collection(member("a"), member("b"), member("c")), tmp_path, make)
    assert [entry.failure for entry in entries] == [None] * 3


@pytest.mark.slow
def test_all_are_drafts_before_any_goes_on(tmp_path: Path) -> None:
    maker = Maker(tmp_path, b=RuntimeError("no room"))
    make_all(collection(member("a"), member("b"), member("c")), tmp_path, maker, goal=Goal(rounds=3))
    assert maker.made == ["a", "c", "a", "c", "a", "c"]


@pytest.mark.slow
def test_a_sheet_that_has_the_grain_wanted_is_not_opened_again(tmp_path: Path) -> None:
    maker = Maker(tmp_path, grain=0.01)
    make_all(collection(member("a"), member("b")), tmp_path, maker, goal=Goal(grain=0.01))
    assert maker.made == ["a", "b"]


@pytest.mark.slow
def test_a_share_begins_with_its_own_model_and_makes_all(tmp_path: Path) -> None:
    some = collection(*(member(name, model) for name, model in (("a", "x"), ("b", "x"), ("c", "y"), ("d", "z"))))
    made = []
    for number in (1, 2):
        make = Maker(tmp_path / str(number))
        make_collection(some, make.out, make, DRAFT, lambda _: None, share=Share(number, 2))
        made.append(make.made)
    assert made == [["a", "b", "c", "d"], ["c", "d", "a", "b"]]


def test_when_time_is_over_nothing_is_begun(tmp_path: Path) -> None:
    clock = iter(range(100))
    maker = Maker(tmp_path)
    made_first = Goal(deadlines=(Deadline("--for 2s", 2.0, lambda: float(next(clock))),))
    entries = make_all(collection(member("a"), member("b"), member("c")), tmp_path, maker, goal=made_first)
    assert maker.made == ["a", "b"]
    assert [entry.state for entry in entries] == [State.MADE, State.MADE, State.WAITING]
