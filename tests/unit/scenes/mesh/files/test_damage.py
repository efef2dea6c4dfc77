"""Mesh files damaged by chance, some of each format; `tests/bench/fuzz` damages them by the ten thousand."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.bench.fuzz.command import FINE, outcome
from tests.bench.fuzz.meshes import whole_meshes

WHOLE = {next(iter(case.files)): case for case in whole_meshes()}


@pytest.mark.parametrize("name", WHOLE)
def test_a_damaged_file_loads_or_is_refused_in_a_sentence(tmp_path: Path, name: str) -> None:
    draw = random.Random(name)
    for _ in range(8):
        assert outcome(WHOLE[name].damaged(draw).written(tmp_path), tmp_path) in FINE


@pytest.mark.parametrize("name", WHOLE)
def test_an_undamaged_file_loads(tmp_path: Path, name: str) -> None:
    assert outcome(WHOLE[name].written(tmp_path), tmp_path) == "exit 0"
