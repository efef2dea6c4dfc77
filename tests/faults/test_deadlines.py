"""`sheet --until` on a machine that sleeps, and stopped: the sheet is whole, the summary is true."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

import imageio.v3 as imageio
import pytest

from tests.faults.job import LIMIT_S, SHEET, Ended, finish, unfinished
from tests.faults.table import note_fault
from tests.support.command import start

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="a process on Windows cannot be stopped and continued"),
]

SLEPT_S: Final = 10.0
STEP_S: Final = 5.0
"""A step of tiny frames takes far less, on however busy a machine."""


@dataclass(frozen=True)
class Slept:
    """How a run ended in whose middle the machine slept, and what it left."""

    ended: Ended
    late_s: float
    summary: dict[str, Any]
    sheet: dict[str, Any]


def run_asleep(folder: Path, ahead_s: float, slept_s: float, after_rounds: int = 4) -> Slept:
    """Run a sheet until so many seconds from now; stop the process once it has made some rounds, and continue it."""
    deadline = (datetime.now() + timedelta(seconds=ahead_s)).replace(microsecond=0)
    process = start(folder, *SHEET, "--until", f"{deadline:%Y-%m-%dT%H:%M:%S}", cache=folder / "cache")
    wait_for_rounds(process, folder / "cache", after_rounds)
    process.send_signal(signal.SIGSTOP)
    time.sleep(slept_s)
    process.send_signal(signal.SIGCONT)
    awake = max(datetime.now(), deadline)
    ended = finish(process)
    late_s = (datetime.now() - awake).total_seconds()
    summary, sheet = (json.loads((folder / "out" / f"{name}.json").read_text()) for name in ("summary", "sheet"))
    return Slept(ended, late_s, summary, sheet)


def wait_for_rounds(process: subprocess.Popen[str], cache: Path, count: int) -> None:
    """Wait until so many rounds are planned, and a little into the last one."""
    limit = time.monotonic() + LIMIT_S
    while len(list(cache.glob("round-*"))) < count and process.poll() is None and time.monotonic() < limit:
        time.sleep(0.02)
    time.sleep(0.1)


def check_sheet(folder: Path, slept: Slept) -> None:
    """Assert that the sheet is whole, and that the summary says what is in it."""
    assert unfinished(folder) == []
    assert slept.ended.status == 0
    assert slept.summary["rounds"] == slept.sheet["made_from"]["rounds"]
    grains = {frame["setup"]: frame["grain_percent"] for frame in slept.sheet["frames"]}
    assert {frame["name"]: frame["grain_percent"] for frame in slept.summary["frames"]} == grains
    for picture in (folder / "out/sheet.png", *(folder / "out/frames").iterdir()):
        assert imageio.imread(picture).size


def test_a_deadline_after_the_sleep_is_met_at_the_end_of_a_round(tmp_path: Path) -> None:
    slept = run_asleep(tmp_path, ahead_s=SLEPT_S + 30.0, slept_s=SLEPT_S)
    check_sheet(tmp_path, slept)
    assert slept.late_s < STEP_S
    assert slept.summary["ended"].startswith(("the next round would have ended after --until", "--until"))
    note_fault("asleep before --until", 1, f"{slept.summary['rounds']} rounds kept", slept.summary["ended"])


def test_a_deadline_that_passed_in_the_sleep_ends_the_work_within_a_step(tmp_path: Path) -> None:
    slept = run_asleep(tmp_path, ahead_s=25.0, slept_s=30.0)
    check_sheet(tmp_path, slept)
    assert slept.late_s < STEP_S
    assert " came within round " in slept.summary["ended"]
    note_fault("asleep at --until", 1, f"{slept.summary['rounds']} rounds kept", slept.summary["ended"])


def test_a_run_that_is_stopped_says_what_its_sheet_has(tmp_path: Path) -> None:
    process = start(tmp_path, *SHEET, "--for", "1h", cache=tmp_path / "cache")
    wait_for_rounds(process, tmp_path / "cache", 4)
    process.terminate()
    ended = finish(process)
    summary, sheet = (json.loads((tmp_path / "out" / f"{name}.json").read_text()) for name in ("summary", "sheet"))
    assert ended.status == 128 + signal.SIGTERM
    assert summary["ended"] == "it was stopped"
    assert summary["rounds"] == sheet["made_from"]["rounds"]
    assert "it was stopped" in ended.said
    assert re.search(r"^the sheet so far: .*out.sheet\.png$", ended.said, re.MULTILINE)
    assert ended.sentences[-1].startswith("spruelight: stopped; what was traced is kept")
