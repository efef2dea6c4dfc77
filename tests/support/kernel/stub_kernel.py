"""A stand-in for the kernel that traces noise, which depends on group and pass alone, and runs on one store."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from render.description.scene import Geometry
from render.images.bands import PLANE_COUNT
from render.images.passes.sealing import SealedImage
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.kernel.features import Features
from render.kernel.workload import Workload
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import CAMERA, UP, panel

GEOMETRY = Geometry((), CAMERA)
FIRST, SECOND, THIRD = (panel((x, 0.0, 0.0), UP, 0.2, 0.2) for x in range(3))
LAMPS = {FIRST: 0, SECOND: 0}


class Kernel:
    """Traces in pass n noise about n + 1, which depends on n and the group; `before` is called with each launch."""

    def __init__(self, before: Callable[[int], None] = lambda _: None, together: int = 1) -> None:
        self.workload = Workload(8, 12, together)
        self.before = before
        self.launches: list[tuple[int, int, int]] = []

    def planes(self, lamps: Sequence[EmitterShape], number: int, group: int = 0, count: int = 1) -> NDArray[np.float32]:
        self.before(number)
        self.launches.append((len(lamps), number, count))
        passes = [self.one(n, group) for n in range(number, number + 2 * count, 2)]
        return np.stack([np.add.reduce(passes)] * len(lamps))

    @staticmethod
    def one(number: int, group: int) -> NDArray[np.float32]:
        size = (PLANE_COUNT, CAMERA.height, CAMERA.width)
        noise = np.random.default_rng((number, group)).gamma(4, 0.25, size).astype(np.float32)
        return noise * np.float32(number + 1)

    @property
    def features(self) -> Features:
        """What the camera sees: nothing but black."""
        plane = np.zeros((CAMERA.height, CAMERA.width), np.float32)
        vectors = np.zeros((*plane.shape, 3), np.float32)
        return Features(vectors, vectors, plane, plane, plane, plane)

    @property
    def passes(self) -> list[int]:
        """The passes that were traced, in their order."""
        return [n for _, number, count in self.launches for n in range(number, number + 2 * count, 2)]


class Traced:
    """A stand-in for the kernel, which a test may replace, and tracings with one store after the other."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        self.kernel = Kernel()
        monkeypatch.setattr(Tracing, "_tracer_of", lambda *_: self.kernel)

    def run(self) -> Tracing:
        """Return the tracing of another run."""
        return Tracing(Store(self.folder))

    def by(self, kernel: Kernel) -> Kernel:
        self.kernel = kernel
        return kernel


def same(a: SealedImage, b: SealedImage) -> bool:
    """Return whether two finished images are equal bit for bit."""
    assert vars(a).keys() == vars(b).keys()
    return all(np.array_equal(value, vars(b)[name]) for name, value in vars(a).items())


def stop_at(stopped: int) -> Callable[[int], None]:
    def stop(number: int) -> None:
        if number == stopped:
            raise KeyboardInterrupt

    return stop
