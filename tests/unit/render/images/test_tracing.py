"""Passes are traced, stored and added to; the kernel is replaced by a stub that counts its passes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from render.description.scene import Geometry
from render.images.bands import PLANE_COUNT
from render.images.lamp_images import LampImage
from render.images.store import Store
from render.images.tracing import Tracing
from render.kernel.trace import Workload
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import CAMERA

from .test_jobs import lamp

GEOMETRY = Geometry((), CAMERA)
LAMPS = {lamp(0.0): 0, lamp(1.0): 0}


class Counter:
    """Traces in pass n images of n + 1; `before` is called with the number of each."""

    def __init__(self, before: Callable[[int], None] = lambda _: None) -> None:
        self.workload = Workload(8, 12, 1)
        self.before = before
        self.traced: list[int] = []

    def planes(
        self, lamps: Sequence[EmitterShape], number: int, _group: int = 0, _count: int = 1
    ) -> NDArray[np.float32]:
        self.before(number)
        self.traced.append(number)
        return np.full((len(lamps), PLANE_COUNT, CAMERA.height, CAMERA.width), number + 1, np.float32)


@pytest.fixture
def tracing(tmp_path: Path) -> Tracing:
    return Tracing(Store(tmp_path))


def trace_by(tracer: Counter, monkeypatch: pytest.MonkeyPatch) -> Counter:
    monkeypatch.setattr(Tracing, "_tracer_of", lambda *_: tracer)
    return tracer


def sums(image: LampImage) -> tuple[int, set[float], set[float]]:
    """Return the number of passes and the values that occur in each half."""
    return image.passes, set(image.even.ravel().tolist()), set(image.odd.ravel().tolist())


def test_passes_are_added_to_those_that_are_stored(tracing: Tracing, monkeypatch: pytest.MonkeyPatch) -> None:
    trace_by(Counter(), monkeypatch)
    tracing.trace(GEOMETRY, LAMPS, 2)
    later = Tracing(tracing.store)
    tracer = trace_by(Counter(), monkeypatch)
    later.trace(GEOMETRY, LAMPS, 4)
    assert tracer.traced == [2, 3]
    assert [sums(later.image(GEOMETRY, lamp, 4)) for lamp in LAMPS] == [(4, {1.0 + 3}, {2.0 + 4})] * 2


@pytest.mark.parametrize("stopped", [2, 3, 4, 5])
@pytest.mark.parametrize("where", ["in a pass", "after a pass"])
def test_a_trace_that_is_interrupted_leaves_the_images_in_hand_as_they_were(
    tracing: Tracing, monkeypatch: pytest.MonkeyPatch, stopped: int, where: str
) -> None:
    trace_by(Counter(), monkeypatch)
    tracing.trace(GEOMETRY, LAMPS, 2)

    def stop(number: int) -> None:
        if where == "in a pass" and number == stopped:
            raise KeyboardInterrupt

    def tick(_: int) -> None:
        if where == "after a pass" and tracer.traced[-1] == stopped:
            raise KeyboardInterrupt

    tracer = trace_by(Counter(stop), monkeypatch)
    with pytest.raises(KeyboardInterrupt):
        tracing.trace(GEOMETRY, LAMPS, 6, tick)
    assert [sums(tracing.image(GEOMETRY, lamp, 2)) for lamp in LAMPS] == [(2, {1.0}, {2.0})] * 2
    trace_by(Counter(), monkeypatch)
    tracing.trace(GEOMETRY, LAMPS, 6)
    assert [sums(tracing.image(GEOMETRY, lamp, 6)) for lamp in LAMPS] == [(6, {1.0 + 3 + 5}, {2.0 + 4 + 6})] * 2


def test_a_damaged_image_is_traced_anew_and_told_of_in_a_line(
    tracing: Tracing, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    trace_by(Counter(), monkeypatch)
    tracing.trace(GEOMETRY, LAMPS, 2)
    first, _ = sorted(tracing.store.folder.iterdir())
    data = bytearray(first.read_bytes())
    data[len(data) // 2] ^= 1
    first.write_bytes(data)
    later = Tracing(tracing.store)
    later.trace(GEOMETRY, LAMPS, 2)
    assert [sums(later.image(GEOMETRY, lamp, 2)) for lamp in LAMPS] == [(2, {1.0}, {2.0})] * 2
    assert len(later.statistics.traced) == len(later.statistics.reused) == 1
    (told,) = caplog.messages
    assert str(first) in told
    assert Tracing(tracing.store).stored_passes(GEOMETRY, next(iter(LAMPS))) == (2, 0)
