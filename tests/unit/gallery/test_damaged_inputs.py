"""Some dozens of inputs of each kind damaged by chance; `tests/bench/fuzz` damages them by the ten thousand."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.bench.fuzz.command import FINE, outcome
from tests.bench.fuzz.files import prepare
from tests.bench.fuzz.kinds import KINDS

INPUTS = 24
TEXTS = sorted(KINDS.keys() - {"mesh"})  # meshes: tests/unit/scenes/mesh/files/test_damage.py


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "here").mkdir()
    prepare(tmp_path / "here")
    return tmp_path / "here"


@pytest.mark.slow
@pytest.mark.parametrize("kind", TEXTS)
def test_a_damaged_input_is_read_or_refused_in_a_sentence(kind: str, folder: Path) -> None:
    draw, whole = random.Random(kind), KINDS[kind]()
    for i in range(INPUTS):
        case = whole[i % len(whole)].damaged(draw)
        assert outcome(case.written(folder), folder) in FINE, case


@pytest.mark.parametrize("kind", TEXTS)
def test_an_undamaged_input_is_read(kind: str, folder: Path) -> None:
    for case in KINDS[kind]():
        assert outcome(case.written(folder), folder) == "exit 0", case
