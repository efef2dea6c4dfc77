"""Whether two machines trace the same light, such as a GPU and a processor: a z-test of lamp images over tiles.

`python -m tests.bench.agreement write FILE --first-group 0` on one machine, `--first-group 100` on the other, so that
their samples are independent; then `python -m tests.bench.agreement compare FILE FILE`, which ends with 1 where they
differ. Batches are the halves of different groups: passes of one half go on with one sequence.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.images.bands import BAND_COUNT, PLANE_COUNT
from render.kernel.backend import choose_backend
from render.kernel.trace import Tracer
from render.shot import Shot

from .report import machine, table

TILE = 8  # pixels a side
PLANES = (*(f"band {i}" for i in range(BAND_COUNT)), "specular", "indirect")
FAR = 3.0  # standard errors
FAR_SHARE = 0.01
"""Share of tiles that are farther off than `FAR` by noise: .003 of a normal distribution, more where it is skewed."""
MOST_OFF = 4.5
"""Standard errors that the mean over the tiles of a plane, or the number of far ones, may be off by: of many planes."""


@dataclass(frozen=True, eq=False)
class TileMeans:
    """Means of tiles and the variance of those means, (lamps, planes, tiles), and where they were measured."""

    mean: NDArray[np.float64]
    variance: NDArray[np.float64]
    lamps: NDArray[np.str_]
    machine: str


def tile_means(shots: list[Shot], first_group: int, groups: int) -> TileMeans:
    """Trace both halves of some groups of every lamp of the shots."""
    means, variances, names = [], [], []
    for shot in shots:
        tracer = Tracer(shot.geometry)
        batches = np.array([
            _tiles(tracer.planes(shot.emitter_shapes, half, group))
            for group in range(first_group, first_group + groups) for half in range(2)
        ], np.float64)  # fmt: skip
        means.append(batches.mean(axis=0))
        variances.append(batches.var(axis=0, ddof=1) / len(batches))
        names += [f"{shot.setup.name}, {emitter.name}" for emitter in shot.lit_emitters]
    return TileMeans(np.concatenate(means), np.concatenate(variances), np.array(names), machine())


def agree(one: TileMeans, other: TileMeans) -> bool:
    """Print how far two machines are apart in each plane, and return whether all of it is noise."""
    if one.mean.shape != other.mean.shape or (one.lamps != other.lamps).any():
        raise RuntimeError("the two files are of other lamps or sizes: write both with the same words")
    error = np.sqrt(one.variance + other.variance)
    is_lit = error > 0
    z = np.divide(one.mean - other.mean, error, out=np.zeros_like(error), where=is_lit)
    rows = []
    for lamp, plane in np.ndindex(z.shape[:2]):
        name, own = f"{one.lamps[lamp]}, {PLANES[plane]}", z[lamp, plane][is_lit[lamp, plane]]
        ratio = one.mean[lamp, plane].sum() / other.mean[lamp, plane].sum()
        off, far = float(own.mean() * np.sqrt(own.size)), int((np.abs(own) > FAR).sum())
        by_noise = FAR_SHARE * own.size
        differs = abs(off) > MOST_OFF or far > by_noise + MOST_OFF * np.sqrt(by_noise)
        verdict = "differs" if differs else ""
        measured = (f"{ratio:.5f}", f"{off:+.2f}", f"{far / own.size:.2%}", f"{np.mean(own**2):.3f}")
        rows.append([name, str(own.size), *measured, verdict])
    heads = ["", "tiles", "light, ratio", "mean z x sqrt(tiles)", f"over {FAR:g}", "chi square a tile", ""]
    table(f"{one.machine}\nagainst {other.machine}", heads, rows)
    return not any(row[-1] for row in rows)


def _tiles(planes: NDArray[np.float32]) -> NDArray[np.float64]:
    """Return the means of tiles, (lamps, planes, tiles)."""
    lamps, _, height, width = planes.shape
    down, across = height // TILE, width // TILE
    whole = planes[..., : down * TILE, : across * TILE].reshape(lamps, PLANE_COUNT, down, TILE, across, TILE)
    means: NDArray[np.float64] = whole.mean(axis=(3, 5), dtype=np.float64).reshape(lamps, PLANE_COUNT, -1)
    return means


def _read(path: Path) -> TileMeans:
    with np.load(path) as stored:
        return TileMeans(stored["mean"], stored["variance"], stored["lamps"], str(stored["machine"]))


def main() -> None:
    """Write one machine's means, or compare two machines'."""
    parser = argparse.ArgumentParser(description="whether two machines trace the same light")
    commands = parser.add_subparsers(dest="command", required=True)
    write = commands.add_parser("write")
    write.add_argument("to", type=Path)
    write.add_argument("--file", type=Path, help="an arrangement, a mesh or a stand-in; else the demo")
    write.add_argument("--setup", action="append", help="three-point and rim-fill where none is named")
    write.add_argument("--finish", action="append", default=[])
    write.add_argument("--size", default="120x160")
    write.add_argument("--first-group", type=int, required=True)
    write.add_argument("--groups", type=int, default=24)
    compared = commands.add_parser("compare")
    compared.add_argument("files", type=Path, nargs=2)
    asked = parser.parse_args()
    if asked.command == "write":
        choose_backend()
        setups = asked.setup or ["three-point", "rim-fill"]
        shots = shots_of(open_input(asked.file, {}), setups, asked.finish, pixels(asked.size))
        np.savez(asked.to, **vars(tile_means(shots, asked.first_group, asked.groups)))
        return
    alike = agree(*map(_read, asked.files))
    print("they agree within noise" if alike else "they differ")
    sys.exit(0 if alike else 1)


if __name__ == "__main__":
    main()
