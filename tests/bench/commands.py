"""A command as from the shell: how long it takes, and how much memory at its peak."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Ran:
    """What a command took, start-up included."""

    seconds: float
    peak_mb: float


def run_command(store: Path, out: Path, *words: str) -> Ran:
    """Run `spruelight WORDS --out OUT` with the cache in `store`."""
    started = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, "-m", "gallery", *words, "--out", str(out)],
        env={**os.environ, "SPRUELIGHT_CACHE": str(store)}, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode != 0:
        raise RuntimeError(f"spruelight {' '.join(words)} ended with {child.returncode}")
    return Ran(time.perf_counter() - started, used.ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10))
