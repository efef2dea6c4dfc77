"""The most memory that a proof takes, at the sheet's frame size and at print size: `python -m tests.bench.memory`."""

from __future__ import annotations

import tempfile
from pathlib import Path

from .program.commands import run_command
from .report import machine, table

SIZES = ("480x640", "2400x3200")


def memory() -> None:
    """Run each proof in a process of its own, on an empty store, and print its peak resident memory."""
    rows = []
    for size in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            ran = run_command(Path(folder) / "store", Path(folder), "proof", "butterfly", "--size", size)
        rows.append([size, f"{ran.seconds:.1f}", f"{ran.peak_mb:.0f}"])
    table("memory of `proof butterfly`, draft", ["pixels", "seconds", "peak MB"], rows)


if __name__ == "__main__":
    print(machine())
    memory()
