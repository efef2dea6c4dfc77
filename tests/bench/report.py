"""What the bench prints: tables, and the machine that they were measured on."""

from __future__ import annotations

import os
import platform
from collections.abc import Sequence
from pathlib import Path

from render.kernel.backend import choose_backend


def machine() -> str:
    """Return the machine in words: processor, cores that this process may use, backend, Python."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return f"{_processor()}, {cores} cores, {choose_backend().variant}, Python {platform.python_version()}"


def table(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table: first column to the left, all others to the right."""
    widths = [max(len(row[column]) for row in [heads, *rows]) for column in range(len(heads))]
    print(f"\n{title}")
    for row in [heads, *rows]:
        cells = [row[0].ljust(widths[0]), *(cell.rjust(w) for cell, w in zip(row[1:], widths[1:], strict=True))]
        print("  ".join(cells), flush=True)


def _processor() -> str:
    listed = Path("/proc/cpuinfo")
    lines = listed.read_text(encoding="utf-8").splitlines() if listed.exists() else []
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.processor() or platform.machine()
