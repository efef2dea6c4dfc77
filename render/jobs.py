"""The work list: many shots in the order that shares most, with how far along it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from .frames import Frame, Shot, take
from .tracing import Tracing

PASSES = {"draft": 2, "fine": 16, "overnight": 128}
"""Passes of 16 samples a pixel, by quality."""


def passes_to_trace(shots: Sequence[Shot], tracing: Tracing, passes: int) -> int:
    """Return how many passes the store lacks for all shots together; a lamp shared by two counts once."""
    wanted = {(s.geometry.fingerprint, lamp.fingerprint): (s.geometry, lamp) for s in shots for lamp in s.lamps}
    return sum(tracing.passes_missing(geometry, lamp, passes) for geometry, lamp in wanted.values())


def take_all(
    shots: Sequence[Shot], tracing: Tracing, passes: int, tick: Callable[[], None] = lambda: None
) -> Iterator[tuple[int, Frame]]:
    """Yield (index, frame) of every shot, geometry by geometry, so that each is handed to the kernel once."""
    order = sorted(range(len(shots)), key=lambda i: (_first(shots, i), i))
    for i in order:
        yield i, take(shots[i], tracing, passes, tick)


def _first(shots: Sequence[Shot], i: int) -> int:
    """Return the index of the first shot of the same geometry."""
    own = shots[i].geometry.fingerprint
    return next(j for j, shot in enumerate(shots) if shot.geometry.fingerprint == own)
