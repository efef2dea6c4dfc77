"""A command as from the shell: how long it takes, and how much memory at its peak."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

TREE = Path(__file__).parents[3]
"""The checkout that this bench belongs to."""


@dataclass(frozen=True)
class Ran:
    """What a command took, start-up included: on the clock, and of all cores together."""

    seconds: float
    cpu_seconds: float
    peak_mb: float


def run_command(store: Path, out: Path, *words: str, tree: Path = TREE) -> Ran:
    """Run `spruelight WORDS --out OUT` of a checkout with the cache in `store`."""
    return run_python(store, tree, "-m", _program(tree), *words, "--out", str(out))


def run_python(store: Path, tree: Path, *arguments: str, stdout: int = subprocess.DEVNULL) -> Ran:
    """Run Python with the packages of a checkout and the cache in `store`.

    Raises
    ------
    RuntimeError
        Where it fails.
    """
    started = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, *arguments],
        env={**os.environ, "SPRUELIGHT_CACHE": str(store), "PYTHONPATH": str(tree)}, stdout=stdout, cwd=tree,
    )  # fmt: skip
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode != 0:
        raise RuntimeError(f"{' '.join(arguments)} ended with {child.returncode}")
    peak_mb = used.ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10)
    return Ran(time.perf_counter() - started, used.ru_utime + used.ru_stime, peak_mb)


def _program(tree: Path) -> str:
    """Return the module that is the program; checkouts before it was run as a package had it in `cli`."""
    return "gallery" if (tree / "gallery" / "__main__.py").exists() else "gallery.cli"
