"""A small job of the real command, whose every output is known: what any fault must not change."""

from __future__ import annotations

import re
import subprocess
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

from gallery.sheet.run_notes import SUMMARY
from tests.support.command import start

LIMIT_S: Final = 120.0
"""A process that takes longer hangs."""
SPOON: Final = ("stand-in:spoon", "--length-cm", "12")
SHEET: Final = (
    "sheet", *SPOON, "--setup", "loop", "--setup", "rim-fill", "--size", "48x64", "--out", "out",
)  # fmt: skip
"""Four lamps on two geometries."""
DRAFT: Final = (*SHEET, "--quality", "draft")
FINE: Final = (*SHEET, "--quality", "fine")
SAVE_ALWAYS: Final = "import render.images.passes.unfinished as u; u.SHORTEST_INTERVAL_S = u.LONGEST_INTERVAL_S = 0.0"
"""Makes a small job save as often as a large one does, which takes longer for a pass."""

Outputs: TypeAlias = Mapping[str, bytes]


@dataclass(frozen=True)
class Job:
    """The words of a command, what it writes where nothing goes wrong, and the seconds that takes."""

    words: tuple[str, ...]
    outputs: Outputs
    seconds: float


@dataclass(frozen=True)
class Ended:
    """How a process ended, and what it wrote on stderr."""

    status: int
    said: str

    @property
    def sentences(self) -> list[str]:
        """What it said beside what it always says: what the model is, what was traced, and the summary of a run."""
        usual = re.compile(
            r"(painted spoons, a back and a bowl: .*|traced .*, reused .*|ended at .* after .*: .*|"
            r"\d+ frames? of \d+ lamp images?, .*|grain left: .*|the sheet so far: .*)$"
        )
        return [line for line in self.said.splitlines() if not usual.match(line)]


def finish(process: subprocess.Popen[str]) -> Ended:
    """Wait for a process, which must print no traceback.

    Raises
    ------
    subprocess.TimeoutExpired
        Where it hangs; it is killed.
    """
    try:
        _, said = process.communicate(timeout=LIMIT_S)
    finally:
        process.kill()
    assert "Traceback" not in said, said
    return Ended(process.returncode, said)


def run(folder: Path, cache: Path, words: tuple[str, ...], setting: str = "pass") -> Ended:
    """Run a job to its end."""
    return finish(start(folder, *words, cache=cache, setting=setting))


def measured(folder: Path, words: tuple[str, ...], before: tuple[str, ...] = ()) -> Job:
    """Return a job, run to its end on a cache that another has left, if need be.

    It is run twice: programs that are compiled for the first are stored for the second.
    """
    for cache in (folder / "first", folder / "second"):
        if before:
            run(folder, cache, before)
        started = time.monotonic()
        ended = run(folder, cache, words)
    assert (ended.status, ended.sentences) == (0, [])
    return Job(words, outputs(folder), time.monotonic() - started)


def outputs(folder: Path) -> Outputs:
    """Return the bytes of all that a job has written, by name; temporary files of it, if it left any, are there too.

    The summary of the run is left out: it has the time of day.
    """
    out = folder / "out"
    files = (path for path in out.rglob("*") if path.is_file() and path.name != SUMMARY)
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in files}


def unfinished(folder: Path) -> list[str]:
    """Return the names of temporary files under a folder."""
    return [path.name for path in folder.rglob(".*") if path.is_file()]
