"""Signals at every stage: within two seconds one line, the signal's status, no file half-written."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.faults.job import LIMIT_S, SPOON, Ended, Job, finish, outputs, run, unfinished
from tests.faults.table import note_fault
from tests.support.command import start

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="where a process catches signals is read from /proc"),
]

STOPPED = re.compile(
    "spruelight: stopped; (there was nothing to keep|"
    "what was traced is kept( but for the last [0-9]+ s)?, and the same command goes on from there)"
)
STAGES = 10
LIMIT_TO_END_S = 2.0


class Stopped(NamedTuple):
    """How a process ended at a signal, and the seconds from the signal to its end."""

    ended: Ended
    seconds: float


def heeds_signals(process: subprocess.Popen[str]) -> bool:
    """Return whether a process catches SIGTERM, as nothing before its own first lines does."""
    caught = re.search(
        r"^SigCgt:\s+(\w+)$", Path(f"/proc/{process.pid}/status").read_text(encoding="ascii"), re.MULTILINE
    )
    return caught is not None and bool(int(caught[1], 16) & 1 << (signal.SIGTERM - 1))


def started(folder: Path, cache: Path, words: tuple[str, ...]) -> subprocess.Popen[str]:
    """Start a command, and return it as soon as it heeds signals."""
    process = start(folder, *words, cache=cache)
    limit = time.monotonic() + LIMIT_S
    while not heeds_signals(process) and time.monotonic() < limit:
        time.sleep(0.001)
    return process


def stop(process: subprocess.Popen[str], moment: float, numbers: list[signal.Signals]) -> Stopped | None:
    """Send signals to a process after some seconds; return how it ended, or None where it was done already."""
    try:
        process.wait(moment)
    except subprocess.TimeoutExpired:
        sent = time.monotonic()
        for number in numbers:
            process.send_signal(number)
            time.sleep(0.02)
        ended = finish(process)
        return Stopped(ended, time.monotonic() - sent)
    finish(process)
    return None


def check(stopped: Stopped, number: signal.Signals) -> str:
    """Return what a process said that was stopped as it should be; nothing where all was done and it was ending."""
    assert stopped.seconds < LIMIT_TO_END_S
    if not stopped.ended.sentences:
        # 0 where the system was taking the process down already, -number in Python's own end: to a shell that is 130
        assert stopped.ended.status in {0, 128 + number, -number}
        return ""
    assert stopped.ended.status == 128 + number
    (said,) = stopped.ended.sentences
    assert STOPPED.fullmatch(said), said
    return said


@pytest.mark.parametrize(
    ("name", "numbers"),
    [
        ("SIGINT", [signal.SIGINT]),
        ("SIGTERM", [signal.SIGTERM]),
        ("SIGINT twice", [signal.SIGINT, signal.SIGINT]),
        ("SIGTERM, then SIGINT", [signal.SIGTERM, signal.SIGINT]),
    ],
)
def test_a_sheet_ends_with_a_line_at_every_stage_and_goes_on_to_its_right_end(
    name: str, numbers: list[signal.Signals], tmp_path: Path, fine: Job
) -> None:
    cache, took, said = tmp_path / "cache", list[float](), set[str]()
    for stage in range(STAGES):
        process = started(tmp_path, cache, fine.words)
        stopped = stop(process, fine.seconds * stage / STAGES, numbers)
        if stopped is not None:
            said.add(re.sub("[0-9]+ s", "N s", check(stopped, numbers[0])))
            took.append(stopped.seconds)
        assert unfinished(tmp_path) == []
    ended = run(tmp_path, cache, fine.words)
    assert (ended.status, ended.sentences) == (0, [])
    assert outputs(tmp_path) == fine.outputs
    note_fault(name, len(took), f"ended within {max(took):.2f} s", " | ".join(sorted(said - {""})))


@pytest.mark.parametrize(
    "words",
    [
        ("list", "setups"), ("schema",), ("doctor",), ("cache",), ("check", *SPOON), ("check", *SPOON, "--picture"),
        ("meter", "meters.toml"), ("ask", "exposure", "loop", *SPOON), ("ask", "lumens", "loop", *SPOON),
        ("proof", "loop", *SPOON, "--size", "48x64"), ("export", "loop", *SPOON, "--size", "48x64", "--out", "a.exr"),
        ("strip", "camera.iso=50,100", "--setup", "loop", *SPOON, "--size", "48x64"),
    ],
    ids=lambda words: " ".join(words[:2]),
)  # fmt: skip
def test_every_command_ends_with_a_line(words: tuple[str, ...], tmp_path: Path) -> None:
    (tmp_path / "meters.toml").write_text(METERS, encoding="utf-8")
    took, cache = list[float](), tmp_path / "cache"
    for moment in (0.0, 0.1, 0.3, 0.6, 1.2, 2.4):
        stopped = stop(started(tmp_path, cache, words), moment, [signal.SIGINT])
        if stopped is not None:
            check(stopped, signal.SIGINT)
            took.append(stopped.seconds)
        assert unfinished(tmp_path) == []
    note_fault(f"SIGINT, {' '.join(words[:2])}", len(took), f"ended within {max(took):.2f} s", "the same line")


METERS = """
format = 1
[[lamps]]
name = "panel"
kind = "panel"
size_cm = [20, 14]
lumens = 1000
at_cm = [-25, -15, 43]
aim_cm = [0, 0, 0]
[[meters]]
name = "table"
at_cm = [0, 0, 0.1]
facing = [0, 0, 1]
"""


def test_a_launch_of_many_seconds_keeps_nobody_waiting(tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    words = ("proof", "loop", *SPOON, "--size", "1200x1600", "--quality", "fine")
    process = started(tmp_path, cache, words)
    limit = time.monotonic() + LIMIT_S
    while not list(cache.glob("meter-*.arrays")) and time.monotonic() < limit:
        time.sleep(0.05)
    stopped = stop(process, 4.0, [signal.SIGINT])
    assert stopped is not None
    said = check(stopped, signal.SIGINT)
    assert os.listdir(tmp_path) == ["cache"]
    note_fault("SIGINT in a launch of many seconds", 1, f"ended within {stopped.seconds:.2f} s", said)
