"""Seconds of a frame with one dimmer changed in a running program, the model loaded and its lamp images in memory.

`python tests/bench/program/running_frame.py STORE BRIGHT.toml DIM.toml [WxH]`. It is run as a script, and takes nothing
of `tests`: so it measures the packages of whichever checkout is in PYTHONPATH.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from statistics import median

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.frame import take_frame
from render.images import tracing as tracing_module
from tests.bench.qualities import PASSES

SETUP = "three-point"
ROUNDS = 4
FRAME = "a frame of three lamps, one dimmer changed, in a running program"


def running_frame(store: Path, arrangements: list[Path], size: tuple[int, int] | None) -> dict[str, float]:
    """Return the median seconds of a frame on the clock and of all cores, dimmed one way and the other in turn."""
    shots = [shots_of(open_input(path, {}), [SETUP], (), size)[0] for path in arrangements]
    folder = vars(tracing_module)["Store"](store)  # where the class is defined differs between checkouts
    tracing = tracing_module.Tracing(folder)
    seconds, cpu_seconds = [], []
    for _ in range(ROUNDS):
        for shot in shots:
            started, cpu_started = time.perf_counter(), time.process_time()
            take_frame(shot, tracing, PASSES["draft"])
            seconds.append(time.perf_counter() - started)
            cpu_seconds.append(time.process_time() - cpu_started)
    warm = len(shots)  # the first of each loads its images
    return {"seconds": median(seconds[warm:]), "cpu_seconds": median(cpu_seconds[warm:])}


if __name__ == "__main__":
    wanted = pixels(sys.argv[4] if len(sys.argv) > 4 else None)
    print(json.dumps(running_frame(Path(sys.argv[1]), [Path(name) for name in sys.argv[2:4]], wanted)))
