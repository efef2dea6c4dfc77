"""Speed and memory of the main job on this machine: `make bench`. Prints tables and, last, one JSON line.

Every ratio is of two times taken here, in this run. Long references and print size have commands of their own:
`tests.bench.references`, `tests.bench.equal_error`, `tests.bench.memory`.
"""

from __future__ import annotations

import json
import tempfile
import time
from pathlib import Path

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.frame import take_frame
from render.images.jobs import PASSES
from render.images.store import Store
from render.images.tracing import Tracing

from .commands import run_command
from .equal_error import equal_error
from .kernel_ratio import kernel_ratio
from .report import machine, table

DEMO = Path(__file__).parents[2] / "scenes" / "builtin" / "diver.toml"
OTHER_LAMPS = (("a", [20, 14], 800), ("b", [20, 14], 600), ("c", [5, 3.2], 150))
WORDS = {
    "sheet_seconds": "`sheet`: 14 setups, draft, nothing stored",
    "proof_seconds": "`proof butterfly`: nothing stored",
    "relight_command_seconds": "`proof butterfly`: other lamps, images stored",
    "relight_seconds": "the same in a running program, model loaded",
    "peak_mb": "most memory that `sheet` took, MB",
}


def commands() -> dict[str, float]:
    """Time the demo sheet, one proof on an empty store, and the same proof with other lamps on stored images."""
    with tempfile.TemporaryDirectory() as folder:
        out, relit = Path(folder), Path(folder) / "relit.toml"
        sheet = run_command(out / "sheet-store", out, "sheet")
        proof = run_command(out / "proof-store", out, "proof", "butterfly")
        # the demo's lamps dimmed and warmer: the same lamp images, so nothing is traced
        lamps = "".join(
            f'\n[[lamps]]\nname = "{name}"\nsize_cm = {size}\nlumens = {lumens}\nkelvin = 3000\ndimmer = 0.5\n'
            for name, size, lumens in OTHER_LAMPS
        )
        relit.write_text(DEMO.read_text() + lamps)
        relight = run_command(out / "proof-store", out, "proof", "butterfly", str(relit))
        return {
            "sheet_seconds": sheet.seconds,
            "proof_seconds": proof.seconds,
            "relight_command_seconds": relight.seconds,
            "relight_seconds": relight_seconds(out / "proof-store", relit),
            "peak_mb": sheet.peak_mb,
        }


def relight_seconds(store: Path, arrangement: Path) -> float:
    """Return the seconds from a changed lamp to its frame, on stored lamp images, the model loaded before."""
    (shot,) = shots_of(open_input(arrangement, {}), ["butterfly"], (), None)
    tracing = Tracing(Store(store))
    started = time.perf_counter()
    take_frame(shot, tracing, PASSES["draft"])
    if tracing.statistics.traced:
        raise RuntimeError("relighting traced something")
    return time.perf_counter() - started


def main() -> None:
    """Measure the commands, then the kernel, then the whole sheet against the plain way."""
    print(machine(), flush=True)
    measured = commands()
    table("commands, start-up included", ["", ""], [[WORDS[key], f"{value:.1f}"] for key, value in measured.items()])
    shots = shots_of(open_input(None, {}), (), (), None)
    measured["kernel_ratio_8_lamps"] = kernel_ratio(shots)
    measured["equal_error_ratio"] = equal_error(shots)
    print()
    print(json.dumps({key: round(value, 2) for key, value in measured.items()}))


if __name__ == "__main__":
    main()
