"""The same rounds give the same bytes, however the work is divided and whoever is killed: compared file by file.

Files are those of the sheet and of the store, whole, with what their headers say of title, setups and versions.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

import pytest

from tests.faults.job import LIMIT_S, SAVE_ALWAYS, SPOON, Outputs, finish, outputs
from tests.faults.table import note_fault
from tests.support.command import start

pytestmark = pytest.mark.slow

SHEET: Final = (
    "sheet", *SPOON, "--setup", "loop", "--setup", "rim-fill", "--setup", "butterfly", "--size", "64x96",
    "--grain", "0.2%", "--out", "out",
)  # fmt: skip
STOPS: Final = 10
SHORT_LEASES: Final = f"{SAVE_ALWAYS}; import render.images.store.leases as l; l.STALE_S = 2.0"
"""Leases that a run sleeps over soon."""


@dataclass(frozen=True)
class Whole:
    """What a run that nothing disturbs writes: the sheet, the store, and how long that takes."""

    sheet: Outputs
    store: Mapping[str, bytes]
    seconds: float


def names(cache: Path) -> list[str]:
    """Return the names of the entries of a store."""
    return [path.name for path in cache.glob("[!.]*")]


def stored(cache: Path) -> dict[str, bytes]:
    """Return the bytes of the entries of a store by name."""
    return {name: (cache / name).read_bytes() for name in names(cache)}


def written(cache: Path) -> set[tuple[str, int]]:
    """Return the files of lamp images and their sums, each by name and inode, which is another once it is replaced."""
    return {(path.name, path.stat().st_ino) for path in (*cache.glob("image-*"), *cache.glob("passes-*"))}


def has_changed(cache: Path, before: set[tuple[str, int]]) -> bool:
    """Return whether a lamp image or its sums were written since."""
    return written(cache) != before


def left_over(cache: Path) -> list[str]:
    """Return the names of leases and unfinished files."""
    return [path.name for path in cache.iterdir() if path.name.startswith(".")]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Whole:
    """Give one undisturbed run; its programs are compiled before it is timed."""
    for name in ("compiled", "timed"):
        folder = tmp_path_factory.mktemp(name)
        started = time.monotonic()
        assert finish(start(folder, *SHEET, cache=folder / "cache")).status == 0
    return Whole(outputs(folder), stored(folder / "cache"), time.monotonic() - started)


@pytest.fixture
def dask() -> None:
    """Skip a test where the extra `cluster` is not installed."""
    pytest.importorskip("distributed")
    pytest.importorskip("cryptography")


def wait_until(happened: Callable[[], bool], process: subprocess.Popen[str]) -> None:
    """Wait until something has happened that a process does."""
    limit = time.monotonic() + LIMIT_S
    while not happened():
        assert process.poll() is None, "the run ended before it could be disturbed"
        assert time.monotonic() < limit
        time.sleep(0.01)


def workers_of(process: subprocess.Popen[str]) -> list[int]:
    """Return the numbers of the processes that a process has started to work."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            status, words = (folder / "stat").read_text(), (folder / "cmdline").read_text()
        except OSError:
            continue
        if int(status.rpartition(")")[2].split()[1]) == process.pid and "spawn_main" in words:
            found.append(int(folder.name))
    return found


def assert_same(folder: Path, cache: Path, whole: Whole) -> None:
    """Check that sheet and store are those of an undisturbed run, but for what is of use no more.

    That are the gains of rounds that a run began with, halves that a killed one could not remove, and the file that it
    was writing.
    """
    written, there = outputs(folder), stored(cache)
    assert {name: written[name] for name in whole.sheet} == whole.sheet
    assert {name for name, content in whole.store.items() if there.get(name) != content} == set()
    assert {name.partition("-")[0] for name in there.keys() - whole.store.keys()} <= {"gain", "halves"}


def test_a_run_that_was_stopped_ten_times_writes_what_one_that_was_not_writes(tmp_path: Path, whole: Whole) -> None:
    cache, moments = tmp_path / "cache", random.Random(16)
    statuses = []
    for stop in range(STOPS):
        before = written(cache)
        process = start(tmp_path, *SHEET, cache=cache, setting=SAVE_ALWAYS)
        wait_until(partial(has_changed, cache, before), process)
        time.sleep(moments.uniform(0.0, 0.1) * whole.seconds)
        process.send_signal(signal.SIGTERM if stop % 2 else signal.SIGKILL)
        statuses.append(finish(process).status)
    assert set(statuses) == {-signal.SIGKILL, 128 + signal.SIGTERM}
    assert finish(start(tmp_path, *SHEET, cache=cache)).status == 0
    assert_same(tmp_path, cache, whole)
    note_fault("one run stopped at random", STOPS, "nothing: same bytes", f"{len(whole.store)} stored files equal")


def test_three_shares_of_which_one_is_killed_write_what_one_run_writes(tmp_path: Path, whole: Whole) -> None:
    cache = tmp_path / "cache"
    first, killed, third = (
        start(tmp_path, *SHEET, "--share", f"{i}/3", cache=cache, setting=SAVE_ALWAYS) for i in (1, 2, 3)
    )
    wait_until(lambda: len(names(cache)) > len(whole.store) // 2, killed)
    killed.kill()
    statuses = [finish(share).status for share in (killed, first, third)]  # until it is waited for, it counts as alive
    assert statuses == [-signal.SIGKILL, 0, 0]
    assert_same(tmp_path, cache, whole)
    note_fault("one of three shares killed", 1, "nothing: same bytes", f"{len(whole.store)} stored files equal")


@pytest.mark.parametrize("moment", range(3))
def test_a_share_that_slept_over_its_leases_leaves_what_the_other_one_wrote(
    moment: int, tmp_path: Path, whole: Whole
) -> None:
    cache = tmp_path / "cache"
    first, second = (start(tmp_path, *SHEET, "--share", f"{i}/2", cache=cache, setting=SHORT_LEASES) for i in (1, 2))
    wait_until(lambda: len(names(cache)) > (moment + 1) * len(whole.store) // 4, first)
    first.send_signal(signal.SIGSTOP)
    statuses = [finish(second).status]
    first.send_signal(signal.SIGCONT)
    assert [*statuses, finish(first).status] == [0, 0]
    assert_same(tmp_path, cache, whole)
    note_fault("one of two shares asleep", 1, "nothing: same bytes", f"{len(whole.store)} stored files equal")


@pytest.mark.usefixtures("dask")
def test_four_workers_of_which_one_is_killed_write_what_one_run_writes(tmp_path: Path, whole: Whole) -> None:
    cache = tmp_path / "cache"
    process = start(tmp_path, *SHEET, "--cluster", "local:4", cache=cache)
    wait_until(lambda: len(names(cache)) > len(whole.store) // 2, process)
    killed = random.Random(16).choice(sorted(workers_of(process)))
    os.kill(killed, signal.SIGKILL)
    assert finish(process).status == 0
    assert_same(tmp_path, cache, whole)
    assert [name for name in left_over(cache) if f".{killed}." not in name] == []  # but what it was writing
    note_fault("one of four Dask workers killed", 1, "nothing: same bytes", f"{len(whole.store)} stored files equal")


@pytest.mark.usefixtures("dask")
def test_ctrl_c_ends_a_cluster_within_seconds_and_the_same_command_goes_on(tmp_path: Path, whole: Whole) -> None:
    cache = tmp_path / "cache"
    process = start(tmp_path, *SHEET, "--cluster", "local:2", cache=cache)
    wait_until(lambda: len(names(cache)) > len(whole.store) // 3, process)
    workers, stopped = workers_of(process), time.monotonic()
    process.send_signal(signal.SIGINT)
    ended = finish(process)
    took = time.monotonic() - stopped
    assert ended.status == 128 + signal.SIGINT
    assert took < 5
    assert ended.said.splitlines()[-1].startswith("spruelight: stopped; ")  # and no warning of Python's after it
    assert len(workers) == 2
    time.sleep(1)
    assert not any(Path(f"/proc/{worker}").exists() for worker in workers)
    assert finish(start(tmp_path, *SHEET, "--cluster", "local:2", cache=cache)).status == 0
    assert_same(tmp_path, cache, whole)
    note_fault("Ctrl-C on a cluster", 1, "the pieces at work", f"ended after {took:.1f} s")
