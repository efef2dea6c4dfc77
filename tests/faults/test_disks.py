"""Disks that are full or read-only, no home, and what stands where a folder should be."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.faults.job import Job, outputs, run, unfinished
from tests.faults.table import note_fault

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        sys.platform != "linux" or os.geteuid() != 0, reason="a small file system is mounted, for which it takes root"
    ),
]


@contextmanager
def small_disk(folder: Path, kib: int) -> Iterator[Callable[[], None]]:
    """Mount a file system of some KiB on a folder while the block runs, and give a call that makes it read-only."""
    folder.mkdir()
    mount = ("mount", "-t", "tmpfs", "-o", f"size={kib}k", "tmpfs", str(folder))
    if subprocess.run(mount, check=False, capture_output=True).returncode != 0:
        pytest.skip("nothing can be mounted here")

    def make_read_only() -> None:
        subprocess.run(("mount", "-o", "remount,ro", str(folder)), check=True)

    try:
        yield make_read_only
    finally:
        subprocess.run(("umount", "--lazy", str(folder)), check=True)


@pytest.mark.parametrize("kib", [4, 64, 200, 400])
def test_a_full_cache_costs_a_sentence_and_no_picture(kib: int, tmp_path: Path, draft: Job) -> None:
    with small_disk(tmp_path / "disk", kib):
        ended = run(tmp_path, tmp_path / "disk/cache", draft.words)
        assert unfinished(tmp_path) == []
    (said,) = ended.sentences
    assert "disk/cache cannot be written to (no space left on device)" in said
    assert ended.status == 0
    assert outputs(tmp_path) == draft.outputs
    note_fault(f"cache on a full disk of {kib} KiB", 1, "nothing of this run", said.replace(str(tmp_path), ""))


def test_a_full_disk_for_the_results_costs_a_sentence_and_keeps_what_was_traced(tmp_path: Path, draft: Job) -> None:
    cache = tmp_path / "cache"
    with small_disk(tmp_path / "out", 16):
        ended = run(tmp_path, cache, draft.words)
        written = outputs(tmp_path)
        assert unfinished(tmp_path) == []
    assert ended.status == 1
    (said,) = ended.sentences
    assert said.startswith("spruelight: out/")
    assert said.endswith(": no space left on device")
    assert written.items() < draft.outputs.items()
    (tmp_path / "out").rmdir()
    again = run(tmp_path, cache, draft.words)
    assert "traced nothing" in again.said
    assert outputs(tmp_path) == draft.outputs
    note_fault("results on a full disk", 1, "nothing", said)


def test_a_read_only_cache_is_read(tmp_path: Path, draft: Job) -> None:
    with small_disk(tmp_path / "cache", 2**14) as make_read_only:
        run(tmp_path, tmp_path / "cache", draft.words)
        make_read_only()
        ended = run(tmp_path, tmp_path / "cache", draft.words)
    assert ended.status == 0
    assert "traced nothing" in ended.said
    assert outputs(tmp_path) == draft.outputs
    note_fault("read-only cache, all in it", 1, "nothing", " | ".join(ended.sentences) or "nothing")


def test_an_empty_read_only_cache_costs_a_sentence_and_no_picture(tmp_path: Path, draft: Job) -> None:
    with small_disk(tmp_path / "cache", 64) as make_read_only:
        make_read_only()
        ended = run(tmp_path, tmp_path / "cache", draft.words)
    assert ended.status == 0
    (said,) = ended.sentences
    assert "cannot be written to (read-only file system)" in said
    assert outputs(tmp_path) == draft.outputs
    note_fault("read-only cache, empty", 1, "nothing of this run", said.replace(str(tmp_path), ""))
