"""Several runs on one cache, and a cache that is removed under a run."""

from __future__ import annotations

import re
import shutil
import signal
import time
from contextlib import suppress
from pathlib import Path

import pytest

from render.images.store.eviction import LEASE_SUFFIX
from tests.faults.job import LIMIT_S, SAVE_ALWAYS, Job, finish, outputs, run
from tests.faults.table import note_fault
from tests.support.command import start

pytestmark = pytest.mark.slow

REMOVALS = 6
WAITS = re.compile("spruelight: another run is tracing (a|[0-9]+) lamp images? that this one needs: waiting for it")


@pytest.mark.parametrize("runs", [2, 4])
def test_runs_at_once_on_one_cache_write_what_one_alone_writes(runs: int, tmp_path: Path, fine: Job) -> None:
    cache = tmp_path / "cache"
    places = [tmp_path / str(i) for i in range(runs)]
    for place in places:
        place.mkdir()
    processes = [start(place, *fine.words, cache=cache) for place in places]
    ended = [finish(process) for process in processes]
    assert [end.status for end in ended] == [0] * runs
    said = [sentence for end in ended for sentence in end.sentences]
    assert all(WAITS.fullmatch(sentence) for sentence in said)
    assert [outputs(place) for place in places] == [fine.outputs] * runs
    traced = [int(found[1]) for end in ended if (found := re.search(r"traced (\d+) lamp images?", end.said))]
    words = f"{len(said)} times: {said[0]}" if said else "nothing"
    note_fault(f"{runs} runs at once", runs, f"{sum(traced)} lamp images traced, of 4", words)


def test_a_cache_that_is_removed_under_a_run_is_made_again(tmp_path: Path, fine: Job) -> None:
    cache, removed = tmp_path / "cache", 0
    process = start(tmp_path, *fine.words, cache=cache, setting=SAVE_ALWAYS)
    try:
        while process.poll() is None and removed < REMOVALS:
            if list(cache.glob("*.arrays")):
                shutil.rmtree(cache, ignore_errors=True)
                removed += 1
    finally:
        ended = finish(process)
    assert (ended.status, ended.sentences) == (0, [])
    assert outputs(tmp_path) == fine.outputs
    shutil.rmtree(tmp_path / "out")
    assert run(tmp_path, cache, fine.words).status == 0
    assert outputs(tmp_path) == fine.outputs
    note_fault("the cache removed under a run", removed, "what it held", "nothing")


def has_named_lease(cache: Path) -> bool:
    """Return whether a lease names its holder; before, it is taken over after minutes alone."""
    for file in cache.glob(f".*{LEASE_SUFFIX}"):
        with suppress(FileNotFoundError):
            if file.stat().st_size:
                return True
    return False


def test_a_run_goes_on_when_the_one_that_it_waits_for_is_killed(tmp_path: Path, fine: Job) -> None:
    cache = tmp_path / "cache"
    other = start(tmp_path, *fine.words, cache=cache)
    limit = time.monotonic() + LIMIT_S
    while not has_named_lease(cache) and time.monotonic() < limit:
        time.sleep(0.001)
    other.send_signal(signal.SIGSTOP)
    (tmp_path / "here").mkdir()
    waiting = start(tmp_path / "here", *fine.words, cache=cache)
    assert waiting.stderr is not None
    while not (line := waiting.stderr.readline()).startswith("spruelight: ") and line:
        pass
    other.kill()
    finish(other)
    ended = finish(waiting)
    assert WAITS.fullmatch(line.rstrip())
    assert (ended.status, ended.sentences) == (0, [])
    assert outputs(tmp_path / "here") == fine.outputs
    note_fault("the run that another waits for killed", 1, "its last passes", line.rstrip())
