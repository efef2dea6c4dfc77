"""Some dozens of mesh files damaged by chance; `tests/bench/fuzz_meshes.py` damages them by the ten thousand."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.bench.fuzz_meshes import damaged, outcome, seeds

VALID = seeds()


@pytest.mark.parametrize("name", VALID)
def test_a_damaged_file_loads_or_is_refused_in_a_sentence(tmp_path: Path, name: str) -> None:
    draw = random.Random(name)
    for _ in range(8):
        for file, content in damaged(VALID[name], draw).items():
            (tmp_path / file).write_bytes(content)
        assert outcome(tmp_path / name) in ("loaded", "refused")


@pytest.mark.parametrize("name", VALID)
def test_an_undamaged_file_loads(tmp_path: Path, name: str) -> None:
    for file, content in VALID[name].items():
        (tmp_path / file).write_bytes(content)
    assert outcome(tmp_path / name) == "loaded"
