"""Long renders of lamp images by the kernel, direct and indirect light apart, to hold frames against.

`python -m tests.bench.shown.lamp_references FOLDER [FILE] [--size WxH] [--setup NAME] [--finish NAME]` writes a file a
lamp; it is meant for a GPU. A frame's truth is a sum of them, whatever its dimmers.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.light.spectra import Spectrum
from render.description.lit_emitter import LitEmitter, lit_emitters
from render.description.scene import Geometry
from render.images.bands import BAND_COUNT, INDIRECT_PLANE, PLANE_COUNT, RANGE_NM, xyz_weights
from render.kernel.backend import choose_backend
from render.kernel.trace import Tracer
from render.shot import Shot
from scenes.fingerprint import fingerprint
from tests.bench.truths import GROUP, by_geometry

MODULE = "python -m tests.bench.shown.lamp_references"
HALF_FLOAT_TOP = 6e4


@dataclass(frozen=True, eq=False)
class LampReference:
    """Two independent renders of a lamp undimmed, and the indirect part of each: (2, height, width, 3) XYZ in cd/m2."""

    xyz: NDArray[np.float32]
    indirect: NDArray[np.float32]


def lamp_reference(folder: Path, geometry: Geometry, emitter: LitEmitter) -> LampReference:
    """Return the reference of a lamp in its geometry.

    Raises
    ------
    RuntimeError
        Where the folder has none.
    """
    path = _path(folder, geometry, emitter)
    if not path.exists():
        raise RuntimeError(f"{folder} has no reference of {emitter.name} in this geometry: {MODULE} writes it")
    with np.load(path) as stored:
        return LampReference(*(stored[name] * stored[f"{name}_scale"] for name in ("xyz", "indirect")))


def write_references(folder: Path, shots: Sequence[Shot], passes: int) -> None:
    """Trace and write the reference of every lamp of some shots; both halves together have `passes` passes."""
    folder.mkdir(parents=True, exist_ok=True)
    for geometry, own in by_geometry(shots):
        emitters = {_path(folder, geometry, e): e for i in own for e in lit_emitters(shots[i].setup, shots[i].room)}
        started, tracer = time.perf_counter(), Tracer(geometry)
        for first in range(0, len(emitters), tracer.workload.lamps):
            together = dict(list(emitters.items())[first : first + tracer.workload.lamps])
            means = _means(tracer, list(together.values()), passes)
            for (path, emitter), halves in zip(together.items(), means, strict=True):
                write_reference(path, _in_colour(halves, emitter.radiance))
        seconds = time.perf_counter() - started
        print(f"{geometry.fingerprint[:8]}, {len(emitters)} lamps {seconds:7.1f} s", flush=True)


def write_reference(path: Path, reference: LampReference) -> None:
    """Write a reference in half floats, each array with its scale."""
    arrays: dict[str, Any] = {}
    for name, image in vars(reference).items():
        scale = np.float32(max(float(np.abs(image).max()), 1e-30) / HALF_FLOAT_TOP)
        arrays |= {name: (image / scale).astype(np.float16), f"{name}_scale": scale}
    np.savez_compressed(path, **arrays)


def _path(folder: Path, geometry: Geometry, emitter: LitEmitter) -> Path:
    """Return the file of a lamp; a geometry's own fingerprint is another on machines that round otherwise."""
    surfaces = tuple(
        (s.name, s.kind, len(s.faces), f"{s.finish.base.mean():.3f}", f"{s.finish.roughness:.3f}")
        for s in geometry.surfaces
    )
    camera = (geometry.camera.width, geometry.camera.height, *(f"{metres:.4f}" for metres in geometry.camera.at))
    return folder / f"{fingerprint((surfaces, camera, emitter.shape))}.npz"


def _means(tracer: Tracer, emitters: Sequence[LitEmitter], passes: int) -> NDArray[np.float32]:
    """Return the mean of even and of odd passes of each lamp, (lamps, 2, planes, height, width)."""
    camera, shapes = tracer.geometry.camera, [emitter.shape for emitter in emitters]
    sums = np.zeros((len(emitters), 2, PLANE_COUNT, camera.height, camera.width), np.float32)
    step = 2 * tracer.workload.passes
    for half in range(2):
        for start in range(half, passes, step):
            count = len(range(start, min(start + step, passes), 2))
            sums[:, half] += tracer.planes(shapes, start, GROUP, count)
        sums[:, half] /= np.float32(len(range(half, passes, 2)))
    return sums


def _in_colour(halves: NDArray[np.float32], radiance: Spectrum) -> LampReference:
    """Return the light of a lamp from its planes (2, planes, height, width)."""
    bands = halves[:, :BAND_COUNT]
    xyz = np.tensordot(bands, xyz_weights(radiance).astype(np.float32), axes=(1, 1))
    whole = bands.sum(axis=1) / np.float32(RANGE_NM[1] - RANGE_NM[0])
    share = halves[:, INDIRECT_PLANE] / np.maximum(whole, np.float32(1e-30))
    return LampReference(xyz, xyz * share[..., None])


def main() -> None:
    """Write the references of a sheet."""
    parser = argparse.ArgumentParser(description="long renders of the lamp images of a sheet")
    parser.add_argument("folder", type=Path)
    parser.add_argument("file", type=Path, nargs="?", help="an arrangement, a mesh or a stand-in; else the demo")
    parser.add_argument("--size", help="of frames, WxH; else the product's own")
    parser.add_argument("--setup", action="append", default=[], help="all of the default sheet's where none is named")
    parser.add_argument("--finish", action="append", default=[])
    parser.add_argument("--passes", type=int, default=256, help="of 16 samples, both halves together")
    asked = parser.parse_args()
    print(f"{choose_backend().variant}, {asked.passes} passes", flush=True)
    write_references(
        asked.folder, shots_of(open_input(asked.file, {}), asked.setup, asked.finish, pixels(asked.size)), asked.passes
    )


if __name__ == "__main__":
    main()
