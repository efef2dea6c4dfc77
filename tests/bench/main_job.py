"""Speed and memory of the main job on this machine: `make bench`. Prints tables and, last, one JSON line.

Every ratio is of two times taken here, in this run. Long references and print size have commands of their own:
`tests.bench.references`, `tests.bench.equal_error`, `tests.bench.memory`.
"""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

from gallery.frames.shots import shots_of
from gallery.inputs import open_input

from .equal_error import equal_error
from .kernel_ratio import kernel_ratio
from .program.jobs import DIMMED, WORDS, run_jobs, stored_bytes, write_demo
from .program.running_frame import FRAME, running_frame
from .report import machine, table


def commands() -> dict[str, float]:
    """Time the commands of the main job, and a frame in a running program; print a table of them."""
    with tempfile.TemporaryDirectory() as folder:
        ran = run_jobs(Path(folder))
        sheets = Path(folder) / "sheet-store"
        stored_mb = stored_bytes(sheets) / 2**20
        bright, dim = Path(folder) / "bright.toml", Path(folder) / "dim.toml"
        write_demo(bright, {})
        write_demo(dim, DIMMED)
        frame = running_frame(sheets, [bright, dim], None)
    rows = [[words, *(f"{v:.1f}" for v in (ran[job].seconds, ran[job].cpu_seconds))] for job, words in WORDS.items()]
    rows.append([FRAME, f"{frame['seconds']:.2f}", f"{frame['cpu_seconds']:.2f}"])
    table("commands, start-up included", ["", "seconds", "seconds of all cores"], rows)
    print(f"`sheet` took {ran['sheet'].peak_mb:.0f} MB at most, and stored {stored_mb:.0f} MB")
    seconds = {f"{job.replace(' ', '_')}_seconds": ran[job].seconds for job in WORDS}
    return {
        **seconds, "frame_seconds": frame["seconds"], "peak_mb": ran["sheet"].peak_mb, "stored_mb": stored_mb,
    }  # fmt: skip


def main() -> None:
    """Measure the commands, then the kernel, then the whole sheet against the plain way."""
    print(machine(), flush=True)
    measured = commands()
    shots = shots_of(open_input(None, {}), (), (), None)
    measured["kernel_ratio_8_lamps"] = kernel_ratio(shots)
    measured["equal_error_ratio"] = equal_error(shots)
    print()
    print(json.dumps({key: round(value, 2) for key, value in measured.items()}))


if __name__ == "__main__":
    main()
