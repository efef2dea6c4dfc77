"""Some dozens of inputs of each kind damaged by chance; `tests/bench/fuzz` damages them by the ten thousand."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.bench.fuzz.case import Case
from tests.bench.fuzz.command import FINE, outcome
from tests.bench.fuzz.files import prepare
from tests.bench.fuzz.kinds import KINDS

INPUTS = 24


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "here").mkdir()
    prepare(tmp_path / "here")
    return tmp_path / "here"


def _outcome(case: Case, folder: Path) -> str:
    for file, content in case.files.items():
        (folder / file).write_bytes(content)
    return outcome(case.words, folder)


@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_input_is_read_or_refused_in_a_sentence(kind: str, folder: Path) -> None:
    draw, whole = random.Random(kind), KINDS[kind]()
    for i in range(INPUTS):
        case = whole[i % len(whole)].damaged(draw)
        assert _outcome(case, folder) in FINE, case


@pytest.mark.parametrize("kind", KINDS)
def test_an_undamaged_input_is_read(kind: str, folder: Path) -> None:
    for case in KINDS[kind]():
        assert _outcome(case, folder) == "exit 0", case
