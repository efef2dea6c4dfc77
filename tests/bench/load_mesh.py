"""How long a large STL takes from the file to the subject, and how much memory: python -m tests.bench.load_mesh [M].

The mesh is a noisy ball of about so many million triangles (1 by default), written as binary STL.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from scenes.mesh_subject import load_subject
from scenes.sizing import Scaling
from scenes.stl_file import HEAD, ROW


def write_ball(path: Path, millions: float) -> int:
    """Write a ball of triangles between rings and return their number."""
    rings = round((millions * 1e6 / 4) ** 0.5)
    polar, turn = np.meshgrid(np.linspace(0, np.pi, rings + 1), np.linspace(0, 2 * np.pi, 2 * rings + 1), indexing="ij")
    bumps = 1 + 0.02 * np.sin(40 * polar) * np.sin(40 * turn)
    points = np.stack([np.sin(polar) * np.cos(turn), np.sin(polar) * np.sin(turn), np.cos(polar)], axis=-1)
    points *= bumps[..., None]
    points[:, -1] = points[:, 0]
    a, b, c, d = points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:]
    corners = np.stack([np.stack([a, b, c], axis=2), np.stack([a, c, d], axis=2)], axis=2).reshape(-1, 3, 3)
    rows = np.zeros(len(corners), ROW)
    rows["corners"] = corners
    with path.open("wb") as file:
        file.write(b"\0" * (HEAD - 4) + len(rows).to_bytes(4, "little"))
        file.write(rows.tobytes())
    return len(rows)


def main() -> None:
    """Print seconds and peak memory."""
    millions = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ball.stl"
        count = write_ball(path, millions)
        before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.monotonic()
        subject = load_subject(path, Scaling(height_cm=18))
        seconds = time.monotonic() - start
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        gib, least = peak / 2**20, before / 2**20
        print(f"{count} triangles: {seconds:.1f} s to the subject, {gib:.2f} GiB at most ({least:.2f} before)")
        print(*subject.notes, sep="\n")


if __name__ == "__main__":
    main()
