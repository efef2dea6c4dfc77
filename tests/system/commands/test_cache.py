"""`spruelight cache` after a proof: what it was for, and that cleaning leaves what is of use."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import trimesh

from tests.support.command import run


@pytest.mark.slow
def test_a_proof_is_found_by_its_arrangement_and_cleaned_by_size(tmp_path: Path) -> None:
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "pill.stl")
    cache = tmp_path / "cache"
    proof = run(tmp_path, "proof", "loop", "pill.stl", "--height-cm", "9", "--size", "48x64", cache=cache)
    assert proof.returncode == 0
    facts = json.loads(run(tmp_path, "cache", "--json", cache=cache).stdout)
    (group,) = facts["groups"]
    assert (group["title"], group["setups"], group["pixels"]) == ("pill", ["loop"], [[48, 64]])
    assert facts["bytes"] == sum(path.stat().st_size for path in cache.iterdir())
    assert "pill: " in run(tmp_path, "cache", "--clean", cache=cache).stdout
    assert "removed 0 KiB in 0 files" in run(tmp_path, "cache", "--clean", cache=cache).stdout
    assert run(tmp_path, "cache", "--clean", "--keep", "0", cache=cache).returncode == 0
    assert not list(cache.iterdir())


def test_a_wrong_age_or_size_is_told_in_a_sentence(tmp_path: Path) -> None:
    for words in (("--older-than", "30"), ("--keep", "much")):
        ran = run(tmp_path, "cache", "--clean", *words, cache=tmp_path)
        assert (ran.returncode, ran.stdout) == (2, "")
        assert ran.stderr.startswith(f"spruelight: {' '.join(words)}: give ")
