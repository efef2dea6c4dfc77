"""Two versions of the product against each other, in one run: time, memory, bytes stored and the error of drafts.

`python -m tests.bench.compare OLD NEW [--rounds 3] [--size WxH] [--references FOLDER]`: two checkouts or git revisions.
Their commands run in turn, so that what else the machine does meets both alike, and each round has a ratio.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input

from .errors import Estimate, mean_of
from .program.commands import TREE, Ran, run_python
from .program.jobs import DIMMED, WORDS, run_jobs, stored_bytes, write_demo
from .program.running_frame import FRAME
from .report import machine, table
from .shown.shown_error import frame_errors

HEADS = ("old", "new", "new over old", "from", "to")
SCRIPT = Path(__file__).with_name("program") / "running_frame.py"


@dataclass(frozen=True)
class Measured:
    """What one round of a version took."""

    jobs: dict[str, Ran]
    frame: dict[str, float]
    stored_bytes: int


def compare(trees: Sequence[Path], rounds: int, size: str | None, references: Path | None) -> None:
    """Print times of both versions, their ratios new over old, and what else is measured."""
    measured: list[list[Measured]] = [[], []]
    with tempfile.TemporaryDirectory() as folder:
        for number in range(rounds):
            for which in (0, 1) if number % 2 == 0 else (1, 0):  # the one after the other gains by neither order
                own = Path(folder) / f"{number}-{which}"
                own.mkdir()
                measured[which].append(_measure(own, trees[which], size))
        _print_times(*measured)
        if references is not None:
            shots = shots_of(open_input(None, {}), (), (), pixels(size))
            _print_errors(*(frame_errors(Path(folder) / f"0-{which}" / "sheet", shots, references) for which in (0, 1)))


def _measure(folder: Path, tree: Path, size: str | None) -> Measured:
    jobs = run_jobs(folder, size, tree)
    sheets, found, arrangements = folder / "sheet-store", folder / "frame.json", []
    for name, changes in {"bright": {}, "dim": DIMMED}.items():
        arrangements.append(folder / f"{name}.toml")
        write_demo(arrangements[-1], changes)
    with found.open("w") as file:
        words = (str(sheets), *map(str, arrangements), *([size] if size else []))
        run_python(sheets, tree, str(SCRIPT), *words, stdout=file.fileno())
    return Measured(jobs, json.loads(found.read_text()), stored_bytes(sheets))


def _print_times(old: Sequence[Measured], new: Sequence[Measured]) -> None:
    rows = []
    for job, words in WORDS.items():
        for unit, name in (("seconds", ""), ("cpu_seconds", ", all cores")):
            both = [[float(getattr(m.jobs[job], unit)) for m in measured] for measured in (old, new)]
            rows.append(_row(words + name, *both))
    for unit, name in (("seconds", ""), ("cpu_seconds", ", all cores")):
        rows.append(_row(FRAME + name, *([m.frame[unit] for m in measured] for measured in (old, new))))
    table("median seconds, start-up included; ratios with their least and most", ["", *HEADS], rows)
    rows = [
        _row(f"peak memory, {WORDS[job]}", *([m.jobs[job].peak_mb for m in both] for both in (old, new)))
        for job in ("sheet", "proof")
    ]
    rows.append(_row("stored for the sheet", *([m.stored_bytes / 2**20 for m in both] for both in (old, new))))
    table("memory and store, MB", ["", *HEADS], rows)


def _row(words: str, old: Sequence[float], new: Sequence[float]) -> list[str]:
    ratios = np.array(new) / np.array(old)
    centre = float(np.exp(np.log(ratios).mean()))
    values = (float(np.median(old)), float(np.median(new)), centre, float(ratios.min()), float(ratios.max()))
    return [words, *(f"{value:.3g}" for value in values)]


def _print_errors(old: dict[str, Estimate], new: dict[str, Estimate]) -> None:
    rows = [[name, str(old[name]), str(new[name]), f"{new[name].value / old[name].value:.2f}"] for name in new]
    means = [mean_of(list(errors.values())) for errors in (old, new)]
    rows.append(["mean", *map(str, means), f"{means[1].value / means[0].value:.2f}"])
    table("shown error of the draft sheet's frames, in 8 bits", ["", "old", "new", "new over old"], rows)


@contextmanager
def checkout(version: str) -> Iterator[Path]:
    """Yield a folder as it is, or the checkout of a git revision."""
    if Path(version).is_dir():
        yield Path(version).resolve()
        return
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        subprocess.run(["git", "worktree", "add", "--quiet", "--detach", str(tree), version], cwd=TREE, check=True)
        try:
            yield tree
        finally:
            subprocess.run(["git", "worktree", "remove", "--force", str(tree)], cwd=TREE, check=True)


def main() -> None:
    """Compare two versions."""
    parser = argparse.ArgumentParser(description="two versions of the product against each other")
    parser.add_argument("old", help="a checkout or a git revision")
    parser.add_argument("new", help="a checkout or a git revision")
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--size", help="of frames, WxH; else the product's own")
    parser.add_argument(
        "--references", type=Path, help="a folder that tests.bench.shown.lamp_references wrote at that size"
    )
    asked = parser.parse_args()
    print(machine(), flush=True)
    with checkout(asked.old) as old, checkout(asked.new) as new:
        compare((old, new), asked.rounds, asked.size, asked.references)


if __name__ == "__main__":
    main()
