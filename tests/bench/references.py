"""Long renders of the demo sheet's setups by the plain way, to hold other pictures against.

`python -m tests.bench.references FOLDER --samples 16384 [--setup NAME ...]` writes one file a setup; it is meant for a
GPU. Dimmers that a setup solves are solved by the product, from a frame of few samples: they are part of the question,
not of the answer.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

import numpy as np

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.kernel.backend import choose_backend

from .linear_frames import take_linear
from .plain_mitsuba import PlainScene


def main() -> None:
    """Render and store the references."""
    parser = argparse.ArgumentParser(description="long renders of the demo sheet's setups")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--samples", type=int, default=16384, help="of each pixel, both halves together")
    parser.add_argument("--setup", action="append", help="all of the default sheet's where none is named")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    print(f"{choose_backend().variant}, {asked.samples} samples", flush=True)
    shots = shots_of(open_input(None, {}), asked.setup or (), (), None)
    for linear in take_linear(shots, passes=1, denoiser=lambda noisy, *_: noisy).frames:  # needs no denoiser there
        shot, started = linear.frame.shot, time.perf_counter()
        xyz = PlainScene(shot.geometry, shot.emitter_shapes, linear.radiance).long_xyz(asked.samples)
        np.savez_compressed(
            asked.folder / f"{shot.setup.name}.npz",
            xyz=xyz, samples=np.array(asked.samples), geometry=np.array(shot.geometry.fingerprint),
        )  # fmt: skip
        print(f"{shot.setup.name:16} {time.perf_counter() - started:7.1f} s", flush=True)


if __name__ == "__main__":
    main()
