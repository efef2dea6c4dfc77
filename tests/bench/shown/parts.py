"""Where the error of frames comes from: by material, and by direct and indirect light.

`python -m tests.bench.shown.parts REFERENCES [FILE] [--size WxH] [--setup NAME] [--finish NAME] [--quality fine]`:
REFERENCES is a folder that `tests.bench.shown.lamp_references` wrote of the same frames. The error of a part of the
light is that of a frame in which the other part is perfect. A kind's rows are its part of the mean over all
pixels, so they add up.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from unittest import mock

import numpy as np
from numpy.typing import NDArray

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.arrays import Array, Mask
from render import frame as frames
from render.camera.dither import encode_dithered
from render.description.lit_emitter import LitEmitter, lit_emitters
from render.frame import Frame
from render.images.bands import RANGE_NM
from render.images.jobs import take_frames
from render.images.lamp_images import LitLamp, lamp_xyz
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot import Shot
from tests.bench.errors import EPSILON, Picture
from tests.bench.qualities import PASSES
from tests.bench.report import machine, table

from .material_groups import material_masks
from .shown_error import developed, shown, sum_of_lamps

COLUMNS = ("raw direct", "raw indirect", "raw", "denoised")


def parts(shots: Sequence[Shot], folder: Path, passes: int) -> None:
    """Print the error of each shot, and the mean over all of each kind of material, for each part of the light."""
    sums: dict[str, Array] = {}
    by_shot: list[list[str]] = []
    masks: dict[str, dict[str, Mask]] = {}
    for frame, maps in _error_maps(shots, folder, passes):
        by_shot.append([f"{frame.setup.name}, {frame.shot.finish}", *(f"{1e4 * error.mean():.2f}" for error in maps)])
        geometry = frame.shot.geometry
        if geometry.fingerprint not in masks:
            masks[geometry.fingerprint] = material_masks(geometry)
        for name, mask in masks[geometry.fingerprint].items():
            row = [mask.mean(), *((error * mask).mean() for error in maps)]
            sums[name] = sums.get(name, np.zeros(len(row))) + np.array(row) / len(shots)
    table("shown error x 1e4", ["", *COLUMNS], by_shot)
    _print(sums, len(shots))


def _error_maps(shots: Sequence[Shot], folder: Path, passes: int) -> Iterator[tuple[Frame, list[Array]]]:
    """Yield each frame and the squared relative error of its pixels, in the order of `COLUMNS`."""
    with tempfile.TemporaryDirectory() as store:
        tracing = Tracing(Store(Path(store)))
        with mock.patch.object(frames, "encode_dithered", mock.Mock(side_effect=encode_dithered)) as encoded:
            for _, frame in take_frames(shots, tracing, passes):
                yield frame, _maps(frame, encoded.call_args.args[0], tracing, folder, passes)


def _maps(frame: Frame, denoised: Picture, tracing: Tracing, folder: Path, passes: int) -> list[Array]:
    truth = sum_of_lamps(frame.shot, [lamp.dimmer for lamp in frame.setup.lamps], folder)
    whole = developed(truth, truth.xyz, frame.exposure)
    indirect = developed(truth, truth.indirect, frame.exposure)
    direct = whole - indirect
    emitters = lit_emitters(frame.setup, frame.shot.room)
    traced = np.add.reduce([_direct_and_indirect(tracing, frame.shot, emitter, passes) for emitter in emitters])
    raw_direct, raw_indirect = developed(truth, traced, frame.exposure)
    level = np.square(shown(whole.mean(axis=0)), dtype=np.float64) + EPSILON

    def error(picture: Picture, halves: NDArray[np.float32]) -> Array:
        off = [(shown(picture) - shown(half)).astype(np.float64) for half in halves]
        return np.asarray((off[0] * off[1] / level).mean(axis=-1))

    mean_direct, mean_indirect = direct.mean(axis=0), indirect.mean(axis=0)
    return [
        error(raw_direct + mean_indirect, direct + mean_indirect),
        error(raw_indirect + mean_direct, indirect + mean_direct),
        error(raw_direct + raw_indirect, whole),
        error(denoised, whole),
    ]


def _direct_and_indirect(tracing: Tracing, shot: Shot, emitter: LitEmitter, passes: int) -> NDArray[np.float32]:
    """Return the direct and the indirect light of a lamp as dimmed and traced, (2, height, width, 3) XYZ in cd/m2."""
    image = tracing.image(shot.geometry, emitter.shape, passes)
    xyz = lamp_xyz(LitLamp(image, emitter.dimmed_radiance))
    whole = image.mean.sum(axis=0) / np.float32(RANGE_NM[1] - RANGE_NM[0])
    indirect = xyz * (image.indirect / np.maximum(whole, np.float32(1e-30)))[..., None]
    return np.stack([xyz - indirect, indirect])


def _print(sums: dict[str, Array], count: int) -> None:
    total = np.add.reduce(list(sums.values()))
    rows = []
    for name, row in [*sorted(sums.items(), key=lambda item: -float(item[1][-1])), ("all", total)]:
        cells = [f"{1e4 * value:.2f} {value / whole:4.0%}" for value, whole in zip(row[1:], total[1:], strict=True)]
        rows.append([name, f"{row[0]:.1%}", *cells])
    title = f"shown error x 1e4, mean of {count} frames, and its share of the column"
    table(title, ["", "pixels", *COLUMNS], rows)


def main() -> None:
    """Measure the demo's default sheet, or what is named."""
    parser = argparse.ArgumentParser(description="error by material and by part of the light")
    parser.add_argument("references", type=Path, help="a folder that tests.bench.shown.lamp_references wrote")
    parser.add_argument("file", type=Path, nargs="?", help="an arrangement, a mesh or a stand-in; else the demo")
    parser.add_argument("--size", help="of frames, WxH; else the product's own")
    parser.add_argument("--setup", action="append", default=[], help="all of the default sheet's where none is named")
    parser.add_argument("--finish", action="append", default=[])
    parser.add_argument("--quality", choices=PASSES, default="draft")
    asked = parser.parse_args()
    print(machine(), flush=True)
    shots = shots_of(open_input(asked.file, {}), asked.setup, asked.finish, pixels(asked.size))
    parts(shots, asked.references, PASSES[asked.quality])


if __name__ == "__main__":
    main()
