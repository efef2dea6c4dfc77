"""How long large STLs take from the file to the subject, and how much memory: python -m tests.bench.load_mesh.

The meshes are a noisy ball, and 60 of them side by side, of one and of five million triangles together. Each is loaded
in a process of its own; seconds are of each stage as `load_subject` tells them.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scenes.arrangement.subject_model import SubjectModel
from scenes.mesh.files.stl import HEAD, ROW
from scenes.subject.from_meshes import load_subject

from .report import machine, table

MILLIONS = (1.0, 5.0)
PIECES = (1, 60)
STAGES = ("reading", "telling", "simplifying", "cleaning", "smoothing")


def ball(triangles: float) -> NDArray[np.float32]:
    """Return the corners (m, 3, 3) of a closed bumpy ball of about so many triangles between rings."""
    rings = round((triangles / 4) ** 0.5)
    polar, turn = np.meshgrid(np.linspace(0, np.pi, rings + 1), np.linspace(0, 2 * np.pi, 2 * rings + 1), indexing="ij")
    bumps = 1 + 0.02 * np.sin(40 * polar) * np.sin(40 * turn)
    level = np.sin(polar)
    level[[0, -1]] = 0.0  # the poles are one point each
    points = np.stack([level * np.cos(turn), level * np.sin(turn), np.cos(polar)], axis=-1)
    points = (points * bumps[..., None]).astype(np.float32)
    points[[0, -1]] = points[[0, -1], :1]
    points[:, -1] = points[:, 0]
    a, b, c, d = points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:]
    upper, lower = np.stack([a[1:], c[1:], d[1:]], axis=2), np.stack([a[:-1], b[:-1], c[:-1]], axis=2)
    return np.concatenate([upper.reshape(-1, 3, 3), lower.reshape(-1, 3, 3)])


def write_balls(path: Path, millions: float, pieces: int) -> None:
    """Write so many balls in a row as binary STL."""
    one = ball(millions * 1e6 / pieces)
    rows = np.zeros(len(one) * pieces, ROW)
    for number in range(pieces):
        rows["corners"][number * len(one) : (number + 1) * len(one)] = one + np.array([2.5 * number, 0, 0], np.float32)
    with path.open("wb") as file:
        file.write(b"\0" * (HEAD - 4) + len(rows).to_bytes(4, "little"))
        rows.tofile(file)


def measure(path: Path, triangles: int | None) -> dict[str, Any]:
    """Return the seconds of each stage, and the most memory, of loading a file in this process."""
    stages: list[tuple[str, float]] = []
    declared = SubjectModel(mesh=path.name, width_cm=18, triangles=triangles)
    subject = load_subject([path], declared, progress=lambda said: stages.append((said.split()[0], time.monotonic())))
    ends = [start for _, start in stages[1:]] + [time.monotonic()]
    seconds: dict[str, float] = {}
    for (stage, start), end in zip(stages, ends, strict=True):
        seconds[stage] = seconds.get(stage, 0.0) + end - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (2**30 if sys.platform == "darwin" else 2**20)
    left = sum(len(part.faces) for part in subject.parts)
    return {"seconds": seconds, "gib": peak, "parts": len(subject.parts), "triangles": left, "notes": subject.notes}


def load_mesh() -> None:
    """Print seconds of each stage and the peak memory, for each mesh, and for the largest simplified."""
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "balls.stl"
        for millions in MILLIONS:
            for pieces in PIECES:
                write_balls(path, millions, pieces)
                rows.append(_row(path, f"{millions:g} M in {pieces}"))
        rows.append(_row(path, f"{MILLIONS[-1]:g} M in {PIECES[-1]}, simplified", "1000000"))
    table("from a binary STL to the subject", ["mesh", "triangles left", *STAGES, "all, s", "peak GiB"], rows)


def _row(path: Path, name: str, *arguments: str) -> list[str]:
    ran = subprocess.run(
        [sys.executable, "-m", "tests.bench.load_mesh", str(path), *arguments],
        stdout=subprocess.PIPE, text=True, check=True,
    )  # fmt: skip
    found = json.loads(ran.stdout)
    seconds = found["seconds"]
    stages = [f"{seconds.get(stage, 0.0):.1f}" for stage in STAGES]
    return [name, str(found["triangles"]), *stages, f"{sum(seconds.values()):.1f}", f"{found['gib']:.2f}"]


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(measure(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else None)))
    else:
        print(machine())
        load_mesh()
