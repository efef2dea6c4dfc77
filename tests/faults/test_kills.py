"""A process that is killed at any moment: the same command then writes what it would have written, bit for bit."""

from __future__ import annotations

import random
import shutil
import subprocess
import time
from pathlib import Path

import pytest

from tests.faults.job import DRAFT, SAVE_ALWAYS, Job, finish, outputs, run, unfinished
from tests.faults.table import note_fault
from tests.support.command import start

pytestmark = pytest.mark.slow

KILLS = 20
LARGE_MOMENTS_S = (30.0, 70.0)
MINUTE_S = 60.0
KILLS_IN_A_ROW = 3
"""Before the command is run to its end, from what all of them have left."""


def kill(folder: Path, cache: Path, job: Job, moment: float, setting: str) -> float | None:
    """Kill a job after some seconds, and return the seconds since its last save, or None where it was done already."""
    started = time.time()
    process = start(folder, *job.words, cache=cache, setting=setting)
    try:
        process.wait(moment)
    except subprocess.TimeoutExpired:
        process.kill()
        saved = [path.stat().st_mtime for path in cache.glob("*.arrays")]
        return time.time() - max([started, *saved])
    finally:
        finish(process)
    return None


def note_kills(
    fault: str, folder: Path, job: Job, seed: int, *, setting: str = "pass", before: tuple[str, ...] = ()
) -> None:
    """Kill a job many times, see that it comes to its right end each time, and note what that has cost."""
    moments, lost, left, tries = random.Random(seed), list[float](), 0, 0
    left_before = folder / "before"
    left_before.mkdir()
    if before:
        run(folder, left_before, before)
    while len(lost) < KILLS:
        tries += 1
        place = folder / str(tries)
        cache = place / "cache"
        shutil.copytree(left_before, cache)
        for _ in range(KILLS_IN_A_ROW):
            since = kill(place, cache, job, moments.uniform(0.0, job.seconds), setting)
            lost += [] if since is None else [since]
        left += len(unfinished(place))
        ended = run(place, cache, job.words)
        assert (ended.status, ended.sentences) == (0, [])
        written = outputs(place)
        assert {name: written[name] for name in job.outputs} == job.outputs
    seconds = f"{sum(lost) / len(lost):.1f} s in the mean, {max(lost):.1f} at most"
    note_fault(f"killed, {fault} (seed {seed})", len(lost), seconds, f"nothing; {left} unfinished files left")


def test_a_draft_that_is_killed_comes_to_its_right_end(tmp_path: Path, draft: Job) -> None:
    note_kills("draft", tmp_path, draft, 1)


def test_a_fine_sheet_that_is_killed_goes_on_from_what_was_saved(tmp_path: Path, fine: Job) -> None:
    note_kills("fine, saved after each pass", tmp_path, fine, 2, setting=SAVE_ALWAYS)


def test_a_draft_made_fine_that_is_killed_goes_on_from_what_was_saved(tmp_path: Path, finer: Job) -> None:
    note_kills("fine on a draft, saved after each pass", tmp_path, finer, 3, setting=SAVE_ALWAYS, before=DRAFT)


def test_a_large_job_that_is_killed_loses_no_more_than_a_minute(tmp_path: Path) -> None:
    job = Job(("sheet", "--size", "1200x1600", "--quality", "overnight"), {}, LARGE_MOMENTS_S[-1])
    lost = list[float]()
    for moment in LARGE_MOMENTS_S:
        since = kill(tmp_path, tmp_path / "cache", job, moment, "pass")
        assert since is not None
        assert since < MINUTE_S
        lost.append(since)
    assert list((tmp_path / "cache").glob("image-*.arrays"))
    note_fault("killed, a sheet of 1200x1600 overnight", len(lost), f"{max(lost):.1f} s at most", "nothing")
