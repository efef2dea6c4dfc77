"""Seconds of all cores that a pass takes by lamps, pixels and triangles, with fits: `python -m tests.bench.cost`."""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from materials.surface.finish import Finish
from render.description.scene import Geometry, Surface
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import EmitterShape

from .load_mesh import ball
from .report import machine, table
from .truths import by_geometry, lamps_of

LAMPS = (1, 2, 4, 8, 12)
SIZES = ((120, 160), (240, 320), (480, 640), (960, 1280))
TRIANGLES = (1e4, 1e5, 1e6, 5e6)
RUNS = 2
BALL_M, BALL_AT_M = 0.06, (0.0, 0.0, 0.08)


def cost(most_triangles: float) -> None:
    """Print the seconds of a pass and their fits."""
    shots = shots_of(open_input(None, {}), (), (), SIZES[1])
    geometry, own = max(by_geometry(shots), key=lambda group: len(group[1]))
    lamps = list(lamps_of([shots[i] for i in own]).values())
    lamps = (lamps * LAMPS[-1])[: LAMPS[-1]]
    tracer = Tracer(geometry)
    by_lamps = [_pass_seconds(tracer, lamps[:count]) for count in LAMPS]
    _print_line(f"lamps, {_size(geometry)}", LAMPS, by_lamps)
    sized = [Geometry(geometry.surfaces, replace(geometry.camera, width=w, height=h)) for w, h in SIZES]
    by_pixels = [_pass_seconds(Tracer(each, tracer.scene), lamps[:1]) for each in sized]
    _print_line("pixels, one lamp", [w * h for w, h in SIZES], by_pixels)
    counts = [count for count in TRIANGLES if count <= most_triangles]
    balls = [_with_ball(geometry, count) for count in counts]
    _print_power(f"triangles, one lamp, {_size(geometry)}", balls, lamps[:1])


def _pass_seconds(tracer: Tracer, lamps: Sequence[EmitterShape]) -> float:
    """Return the least seconds of all cores of a pass, after one that compiles."""
    tracer.images(lamps, 0)
    seconds = []
    for number in range(1, 1 + RUNS):
        started = time.process_time()
        tracer.images(lamps, number)
        seconds.append(time.process_time() - started)
    return min(seconds)


def _print_line(words: str, counts: Sequence[int], seconds: Sequence[float]) -> None:
    """Print seconds against a count, and the line of the least squares of relative errors."""
    x, y = np.array(counts, float), np.array(seconds)
    (slope, offset), *_ = np.linalg.lstsq(
        np.column_stack([x, np.ones_like(x)]) / y[:, None], np.ones_like(y), rcond=None
    )
    fitted = slope * x + offset
    rows = [[f"{n:,}", f"{s:.3f}", f"{f:.3f}", f"{f / s - 1:+.1%}"] for n, s, f in zip(counts, y, fitted, strict=True)]
    table(f"seconds of all cores of a pass against {words}", ["", "seconds", "line", "off"], rows)
    print(f"slope {slope:.3g} s, offset {offset:.3g} s, off by {np.abs(fitted / y - 1).max():.1%} at most")


def _print_power(words: str, geometries: Sequence[Geometry], lamps: Sequence[EmitterShape]) -> None:
    """Print seconds against triangles, of making the scene and of a pass, and the power law of the pass."""
    rows, counts, seconds = [], [], []
    for geometry in geometries:
        started = time.process_time()
        tracer = Tracer(geometry)
        made = time.process_time() - started
        counts.append(sum(len(surface.faces) for surface in geometry.surfaces))
        seconds.append(_pass_seconds(tracer, lamps))
        rows.append([f"{counts[-1]:,}", f"{made:.2f}", f"{seconds[-1]:.3f}"])
    table(f"seconds of all cores against {words}", ["", "making the scene", "a pass"], rows)
    power, factor = np.polyfit(np.log(counts), np.log(seconds), 1)
    off = np.exp(factor) * np.array(counts, float) ** power / seconds - 1
    print(f"a pass goes with triangles to the power of {power:.3f}, off by {np.abs(off).max():.1%} at most")


def _with_ball(geometry: Geometry, triangles: float) -> Geometry:
    """Return a geometry with a bumpy grey ball for its subject."""
    corners = ball(triangles).reshape(-1, 3) * np.float32(BALL_M) + np.array(BALL_AT_M, np.float32)
    faces = np.arange(len(corners), dtype=np.int32).reshape(-1, 3)
    subject = Surface("ball", "subject", corners, None, faces, Finish.plastic(0.3, 30.0))
    return Geometry((subject, *(s for s in geometry.surfaces if s.kind != "subject")), geometry.camera)


def _size(geometry: Geometry) -> str:
    return f"{geometry.camera.width}x{geometry.camera.height}"


def main() -> None:
    """Measure on the demo's geometry with the most setups, and on balls in its place."""
    parser = argparse.ArgumentParser(description="seconds of a pass against lamps, pixels and triangles")
    parser.add_argument("--most-triangles", type=float, default=TRIANGLES[-1])
    asked = parser.parse_args()
    print(machine())
    cost(asked.most_triangles)


if __name__ == "__main__":
    main()
