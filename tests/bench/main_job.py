"""Speed and memory of the main job on this machine: `make bench`. Prints a table and, last, one JSON line."""

from __future__ import annotations

import json
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from gallery.inputs import open_input
from gallery.shooting import shots_of
from render.frames import take
from render.jobs import PASSES
from render.store import Store
from render.tracing import Tracing


def timed(store: Path, out: Path, *words: str) -> float:
    """Return the seconds that a command takes from the shell, start-up included."""
    environment = {**os.environ, "SPRUELIGHT_CACHE": str(store)}
    started = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "gallery.cli", *words, "--out", str(out)],
        env=environment, check=True, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    return time.perf_counter() - started


def relight_seconds(store: Path, arrangement: Path) -> float:
    """Return the seconds from a changed lamp to its frame, on stored lamp images, the model loaded before."""
    (shot,) = shots_of(open_input(arrangement, {}), ["butterfly"], (), None)
    tracing = Tracing(Store(store))
    started = time.perf_counter()
    take(shot, tracing, PASSES["draft"])
    if tracing.traced_passes:
        raise RuntimeError("relighting traced something")
    return time.perf_counter() - started


def main() -> None:
    """Time the demo sheet, one proof on an empty store, and the same proof with other lamps on stored images."""
    with tempfile.TemporaryDirectory() as folder:
        out, relit = Path(folder), Path(folder) / "relit.toml"
        proof = timed(out / "proof-store", out, "proof", "butterfly")
        # the demo's lamps dimmed and warmer: the same lamp images, so nothing is traced
        demo = Path(__file__).parents[2] / "scenes" / "demo" / "diver.toml"
        lamps = "".join(
            f'\n[[lamps]]\nname = "{name}"\nsize_cm = {size}\nlumens = {lumens}\nkelvin = 3000\ndimmer = 0.5\n'
            for name, size, lumens in (("a", [20, 14], 800), ("b", [20, 14], 600), ("c", [5, 3.2], 150))
        )
        relit.write_text(demo.read_text() + lamps)
        relight_command = timed(out / "proof-store", out, "proof", "butterfly", str(relit))
        relight = relight_seconds(out / "proof-store", relit)
        sheet = timed(out / "sheet-store", out, "sheet")
    peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{platform.processor() or platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    rows = {"sheet_seconds": sheet, "proof_seconds": proof, "relight_seconds": relight}
    rows |= {"relight_command_seconds": relight_command, "peak_mb": peak_mb}
    for name, value in rows.items():
        print(f"{name:24} {value:8.1f}")
    print(json.dumps({name: round(value, 2) for name, value in rows.items()}))


if __name__ == "__main__":
    main()
