"""How far a page's relit frames are from frames taken anew, in CIEDE2000, and how large their layers are.

`python -m tests.bench.page.error [FILE] [--size WxH] [--setup NAME]`: the page's arithmetic in Python, which the tests
in a browser hold the page's script against.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from gallery.commands.options import pixels
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from gallery.page.relight.facts import frame_facts, shared_facts
from gallery.page.relight.layers import Layers
from render.images.jobs import take_frames
from render.images.passes.rungs import FIRST_RUNG
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot import Shot
from render.shot_light import shot_light
from tests.bench.report import table
from tests.support.relight.frame import Facts, State, initial_state, relit
from tests.support.relight.truth import shown_difference, taken_anew

CASES = ("as taken", "key 2 stops down", "warm", "cool", "2 stops over", "2 stops under", "5500 K", "all at once")


def cases(facts: Facts) -> Iterator[State]:
    """Yield the states in which a frame is compared, as `CASES` names them."""
    taken = initial_state(facts)
    ranges = [lamp["kelvinRange"] for lamp in facts["lamps"]]
    warm, cool = ([reach and reach[end] for reach in ranges] for end in (0, 1))
    dimmed = [taken.dimmers[0] / 4, *taken.dimmers[1:]]
    yield taken
    yield replace(taken, dimmers=dimmed)
    yield replace(taken, kelvins=warm)
    yield replace(taken, kelvins=cool)
    yield replace(taken, stops=2.0)
    yield replace(taken, stops=-2.0)
    yield replace(taken, white_balance=5500.0)
    mixed = [reach and reach[0] + (0.3, 0.7)[i % 2] * (reach[1] - reach[0]) for i, reach in enumerate(ranges)]
    yield State(dimmed, mixed, 1.0, 4500.0)


def errors(shot: Shot, tracing: Tracing, passes: int) -> tuple[list[str], int]:
    """Return the mean and the 95th percentile of each case, and the bytes of the layers."""
    layers, light = Layers(), shot_light(shot, tracing, passes)
    facts = frame_facts(light, light.metered_exposure, tracing, passes, layers)
    shared, shown = shared_facts(layers), []
    for state in cases(facts):
        apart = shown_difference(relit(facts, shared, state), taken_anew(light, state, tracing, passes))
        shown.append(f"{apart.mean():.2f} {np.percentile(apart, 95):.1f}")
    return shown, len(json.dumps(facts)) + len(json.dumps(shared["layers"]))


def main() -> None:
    """Print the errors of a sheet's frames."""
    parser = argparse.ArgumentParser(description="how far a page's relit frames are from frames taken anew")
    parser.add_argument("file", type=Path, nargs="?", help="an arrangement, a mesh or a stand-in; else the demo")
    parser.add_argument("--size", help="of frames, WxH; else the product's own")
    parser.add_argument("--setup", action="append", default=[], help="all of the default sheet's where none is named")
    asked = parser.parse_args()
    tracing, passes = Tracing(Store()), FIRST_RUNG
    shots = shots_of(open_input(asked.file, {}), asked.setup, [], pixels(asked.size))
    rows: list[list[str]] = []
    size = 0
    for i, _ in take_frames(shots, tracing, passes):
        shown, nbytes = errors(shots[i], tracing, passes)
        rows.append([shots[i].setup.name, *shown])
        size += nbytes
    table("CIEDE2000 from frames taken anew: mean, 95th percentile", ("setup", *CASES), rows)
    print(f"layers and facts of {len(shots)} frames: {size / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
