"""A process that runs the command on damaged inputs, limited in time and memory, replaced where it hangs or ends."""

from __future__ import annotations

import os
import resource
import time
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Final

from . import command

LIMIT_S: Final = 10
LIMIT_BYTES: Final = 2**30


@dataclass(frozen=True)
class Ending:
    """How a run of the command ended, after how long, and the most memory that its process has taken, bytes."""

    outcome: str
    seconds: float
    peak_bytes: int


class Child:
    """A process that runs the command in a folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._start()

    def run(self, words: tuple[str, ...]) -> Ending:
        """Return how the command ended."""
        started = time.monotonic()
        try:
            ending = self._pool.submit(_run, words, self._folder).result(timeout=LIMIT_S)
            if ending.peak_bytes <= LIMIT_BYTES:
                return ending
            ending = Ending(f"too large: {ending.peak_bytes / 1e6:.0f} MB", ending.seconds, ending.peak_bytes)
        except TimeoutError:
            ending = Ending(f"hung: {LIMIT_S} s were not enough", time.monotonic() - started, 0)
        except BrokenProcessPool:
            ending = Ending("died: the process ended", time.monotonic() - started, 0)
        for process in list((self._pool._processes or {}).values()):
            process.kill()
        self._start()
        return ending

    def close(self) -> None:
        """End the process."""
        self._pool.shutdown()

    def _start(self) -> None:
        self._pool = ProcessPoolExecutor(1, get_context("spawn"))
        self._pool.submit(_limit, self._folder).result()


def _run(words: tuple[str, ...], folder: Path) -> Ending:
    started = time.monotonic()
    outcome = command.outcome(words, folder)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    return Ending(outcome, time.monotonic() - started, peak)


def _limit(folder: Path) -> None:
    """Set the limit on memory, beyond what the program and its libraries take by themselves."""
    command.outcome(("check", "whole.toml"), folder)
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    limit = pages * os.sysconf("SC_PAGE_SIZE") + LIMIT_BYTES
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
