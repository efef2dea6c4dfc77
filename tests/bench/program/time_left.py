"""The time left as it is shown, against what it then took: `python -m tests.bench.program.time_left WORDS`.

WORDS are those of a command that writes a folder, as `sheet --size 240x320`. It is run with an empty cache, unless
`SPRUELIGHT_CACHE` names one.
"""

from __future__ import annotations

import os
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Final, NamedTuple
from unittest.mock import patch

from gallery import cli
from gallery.budget import display
from gallery.budget.display import Status
from render.images.store.store import FOLDER_VARIABLE
from tests.bench.report import machine, table

SHARES: Final = (0.1, 0.25, 0.5, 0.75, 0.9)
LOOK_EVERY_S: Final = 0.05


class Estimate(NamedTuple):
    """The time left that would have been shown at a moment."""

    at: float
    status: Status


def estimates_of(words: list[str]) -> tuple[list[Estimate], float]:
    """Run a command; return the time left that it would have shown at each moment, and when it ended."""
    estimates: list[Estimate] = []

    @contextmanager
    def recorded(status: Callable[[], Status], _: float) -> Iterator[None]:
        ended = threading.Event()

        def record() -> None:
            while not ended.wait(LOOK_EVERY_S):
                estimates.append(Estimate(time.monotonic(), status()))

        thread = threading.Thread(target=record)
        thread.start()
        try:
            yield
        finally:
            ended.set()
            thread.join()

    argv = patch.object(sys, "argv", ["spruelight", *words])
    with patch.object(display, "_lines", recorded), argv, suppress(SystemExit):
        cli.main()
    return estimates, time.monotonic()


def main() -> None:
    """Run the command of the command line, and print what it showed at parts of its time."""
    print(machine())
    with tempfile.TemporaryDirectory() as folder:
        os.environ.setdefault(FOLDER_VARIABLE, folder)
        began = time.monotonic()
        estimates, ended = estimates_of([*sys.argv[1:], "--out", f"{folder}/out"])
    rows = []
    for share in SHARES:
        at, status = next(each for each in estimates if each.at - began >= share * (ended - began))
        actual, left = ended - at, status.seconds_left
        rows.append([f"{share:.0%}", f"{actual:.1f}", f"{left:.1f}", f"{left / actual - 1:+.0%}", status.line])
    title = f"time left of {' '.join(sys.argv[1:])}, which took {ended - began:.0f} s"
    table(title, ["after", "took then, s", "shown, s", "off", "line"], rows)


if __name__ == "__main__":
    main()
