"""Passes are traced, stored and added to; the kernel is replaced by a stub that counts its passes."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from render.description.scene import Geometry
from render.images import unfinished
from render.images.bands import PLANE_COUNT
from render.images.image_entries import ImageEntries, image_key
from render.images.pass_sums import PassSums
from render.images.sealing import SealedImage
from render.images.store import Store
from render.images.tracing import Tracing
from render.kernel.trace import Workload
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import CAMERA

from .test_jobs import lamp

GEOMETRY = Geometry((), CAMERA)
LAMPS = {lamp(0.0): 0, lamp(1.0): 0}
FIRST, SECOND = LAMPS


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


@pytest.fixture
def traced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Traced:
    return Traced(tmp_path / "cache", monkeypatch)


def same(a: SealedImage, b: SealedImage) -> bool:
    """Return whether two finished images are equal bit for bit."""
    assert vars(a).keys() == vars(b).keys()
    return all(np.array_equal(value, vars(b)[name]) for name, value in vars(a).items())


def uninterrupted(folder: Path, traced: Traced, passes: int, together: int) -> SealedImage:
    """Return the image of a run from nothing in a folder of its own."""
    traced.by(Kernel(together=together))
    tracing = Tracing(Store(folder))
    tracing.trace(GEOMETRY, LAMPS, passes)
    return tracing.image(GEOMETRY, FIRST, passes)


def test_what_is_stored_is_not_traced_again_and_passes_are_added_to_it(traced: Traced) -> None:
    traced.run().trace(GEOMETRY, LAMPS, 2)
    kernel = traced.by(Kernel())
    traced.run().trace(GEOMETRY, LAMPS, 2)
    assert kernel.launches == []
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 4)
    assert kernel.passes == [2, 3]
    assert later.image(GEOMETRY, FIRST, 4).passes == 4


def test_an_image_out_of_memory_is_that_out_of_the_store(traced: Traced) -> None:
    first = traced.run()
    first.trace(GEOMETRY, LAMPS, 2)
    for kind in LAMPS:
        assert same(first.image(GEOMETRY, kind, 2), traced.run().image(GEOMETRY, kind, 2))
    first.trace(GEOMETRY, LAMPS, 6)
    assert same(first.image(GEOMETRY, FIRST, 6), traced.run().image(GEOMETRY, FIRST, 6))


def test_a_sealed_image_stays_while_it_is_gone_on_from(traced: Traced) -> None:
    traced.run().trace(GEOMETRY, LAMPS, 2)
    draft = traced.run().image(GEOMETRY, FIRST, 2)
    traced.by(Kernel(_stop_at(5)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 8)
    assert same(traced.run().image(GEOMETRY, FIRST, 2), draft)
    assert traced.run().stored_passes(GEOMETRY, FIRST) == (5, 0)
    traced.by(Kernel())
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 8)
    assert traced.kernel.passes == [5, 6, 7]
    assert {path.name.partition("-")[0] for path in traced.folder.iterdir()} == {"image"}


def _stop_at(stopped: int) -> Callable[[int], None]:
    def stop(number: int) -> None:
        if number == stopped:
            raise KeyboardInterrupt

    return stop


@pytest.mark.parametrize(("draft", "together"), [(0, 1), (2, 1), (0, 4), (2, 4)])
@pytest.mark.parametrize("stopped", [2, 3, 4, 5, 7])
@pytest.mark.parametrize("where", ["in a launch", "after a launch"])
def test_what_was_traced_before_an_interruption_is_kept_and_going_on_gives_the_same_image_bit_for_bit(
    tmp_path: Path, traced: Traced, *, where: str, stopped: int, together: int, draft: int
) -> None:
    if draft:
        uninterrupted(traced.folder, traced, draft, together)
        uninterrupted(tmp_path / "whole", traced, draft, together)
    whole = uninterrupted(tmp_path / "whole", traced, 10, together)
    stopping = traced.by(Kernel(together=together))
    reached: list[int] = []

    def before(number: int) -> None:
        if where == "in a launch" and number >= stopped:
            raise KeyboardInterrupt

    def tick(count: int) -> None:
        reached.append(count)
        if where == "after a launch" and stopping.launches and stopping.launches[-1][1] >= stopped:
            raise KeyboardInterrupt

    stopping.before = before
    run = traced.run()
    with pytest.raises(KeyboardInterrupt):
        run.trace(GEOMETRY, LAMPS, 10, tick)
    kept = traced.run().stored_passes(GEOMETRY, FIRST)
    assert (kept.passes if kept else 0) == draft + len(stopping.passes)
    assert set(run.statistics.kept.values()) <= {draft + len(stopping.passes)}
    assert not run.statistics.traced
    assert (run.unsaved_since is None) == (where == "after a launch")
    resumed = traced.by(Kernel(together=together))
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 10)
    assert sorted(stopping.passes + resumed.passes) == list(range(draft, 10))
    assert same(later.image(GEOMETRY, FIRST, 10), whole)
    assert same(traced.run().image(GEOMETRY, SECOND, 10), whole)


def test_lamps_that_are_unequally_far_catch_up_and_go_on_together(traced: Traced) -> None:
    traced.by(Kernel(_stop_at(3)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, {FIRST: 0}, 6)
    kernel = traced.by(Kernel())
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 6)
    assert later.statistics.traced == {image_key(GEOMETRY, lamp) for lamp in LAMPS}
    assert same(later.image(GEOMETRY, FIRST, 6), later.image(GEOMETRY, SECOND, 6))
    assert sum(lamps for lamps, _, _ in kernel.launches) == 3 + 6


def test_an_unfinished_image_of_enough_passes_is_good_enough_and_stays_unfinished(traced: Traced) -> None:
    traced.by(Kernel(_stop_at(5)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 8)
    kernel = traced.by(Kernel())
    draft = traced.run()
    draft.trace(GEOMETRY, LAMPS, 2)
    assert kernel.launches == []
    assert draft.image(GEOMETRY, FIRST, 2).passes == 5
    assert same(draft.image(GEOMETRY, FIRST, 2), traced.run().image(GEOMETRY, FIRST, 2))
    traced.run().trace(GEOMETRY, LAMPS, 8)
    assert kernel.passes == [5, 6, 7]


class Clock:
    """Time that a launch takes a second of, and writing a moment."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, launch_s: float, writing_s: float) -> None:
        self.now, self.writing_s, self.launch_s = 1000.0, writing_s, launch_s
        self.saved_at: list[float] = []
        save_sums = ImageEntries.save_sums
        monkeypatch.setattr(time, "monotonic", lambda: self.now)

        def save(*arguments: object) -> bool:
            self.now += self.writing_s
            self.saved_at.append(self.now)
            return save_sums(*arguments)  # type: ignore[arg-type]

        monkeypatch.setattr(ImageEntries, "save_sums", save)

    def launch(self, _: int) -> None:
        self.now += self.launch_s


@pytest.mark.parametrize(("launch_s", "writing_s"), [(1.0, 0.01), (7.0, 0.5), (1.0, 2.0), (25.0, 0.1), (59.0, 1.0)])
def test_it_is_saved_once_a_minute_at_least_with_a_twentieth_of_the_time_for_writing(
    traced: Traced, monkeypatch: pytest.MonkeyPatch, launch_s: float, writing_s: float
) -> None:
    clock = Clock(monkeypatch, launch_s, writing_s)
    started = clock.now
    traced.by(Kernel(clock.launch))
    traced.run().trace(GEOMETRY, {FIRST: 0}, 300)
    gaps = np.diff([started, *clock.saved_at, clock.now])
    assert gaps.max() <= 60 + writing_s
    assert len(clock.saved_at) * writing_s <= 0.05 * (clock.now - started) + writing_s
    assert traced.run().image(GEOMETRY, FIRST, 300).passes == 300


def test_a_draft_writes_what_is_finished_alone(traced: Traced, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ImageEntries, "save_sums", lambda *_: pytest.fail("sums are saved"))
    traced.run().trace(GEOMETRY, LAMPS, 2)


def test_what_is_being_traced_is_saved_from_outside_and_how_much_is_not_is_known(traced: Traced) -> None:
    tracing = traced.run()
    seen: list[tuple[bool, int]] = []

    def look(number: int) -> None:
        tracing.save_unfinished()
        kept = traced.run().stored_passes(GEOMETRY, FIRST)
        seen.append((tracing.unsaved_since is None, kept.passes if kept else 0))
        assert number == len(seen) - 1

    traced.by(Kernel(look))
    tracing.trace(GEOMETRY, LAMPS, 3)
    assert seen == [(False, 0), (False, 1), (False, 2)]
    tracing.save_unfinished()
    assert tracing.unsaved_since is None


def test_an_interruption_with_much_to_save_says_so(
    traced: Traced, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(unfinished, "QUIET_BYTES", 100)
    traced.by(Kernel(_stop_at(1)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 4)
    (told,) = caplog.messages
    assert "saving" in told


def test_a_damaged_image_is_traced_anew_and_told_of_in_a_line(traced: Traced, caplog: pytest.LogCaptureFixture) -> None:
    traced.run().trace(GEOMETRY, LAMPS, 2)
    first, _ = sorted(traced.folder.iterdir())
    data = bytearray(first.read_bytes())
    data[len(data) // 2] ^= 1
    first.write_bytes(data)
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 2)
    assert len(later.statistics.traced) == len(later.statistics.reused) == 1
    (told,) = caplog.messages
    assert str(first) in told
    assert traced.run().stored_passes(GEOMETRY, FIRST) == (2, 0)


@pytest.mark.parametrize("damaged", ["image", "passes"])
def test_sums_without_what_they_go_on_from_and_damaged_ones_are_traced_anew(traced: Traced, damaged: str) -> None:
    traced.run().trace(GEOMETRY, LAMPS, 2)
    traced.by(Kernel(_stop_at(4)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 6)
    for path in traced.folder.glob(f"{damaged}-*"):
        path.write_bytes(path.read_bytes()[:-1])
    kernel = traced.by(Kernel())
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 6)
    assert kernel.passes == ([0, 1, 2, 3, 4, 5] if damaged == "image" else [2, 3, 4, 5])
    assert later.image(GEOMETRY, FIRST, 6).passes == 6


def test_entries_that_vanish_while_they_are_used_are_traced_again(traced: Traced) -> None:
    tracing = traced.run()
    tracing.trace(GEOMETRY, LAMPS, 2)
    for path in traced.folder.iterdir():
        path.unlink()
    kernel = traced.by(Kernel())
    assert tracing.image(GEOMETRY, FIRST, 2).passes == 2
    assert kernel.launches == []  # it is in memory
    assert traced.run().image(GEOMETRY, FIRST, 2).passes == 2
    assert kernel.passes == [0, 1]


def test_where_nothing_can_be_written_what_was_traced_is_not_traced_again_in_the_run(
    traced: Traced, caplog: pytest.LogCaptureFixture
) -> None:
    traced.folder.write_text("in the way")
    tracing = traced.run()
    others = {lamp(2.0): 0}
    tracing.trace(GEOMETRY, LAMPS, 2)
    tracing.trace(GEOMETRY, others, 2)
    kernel = traced.by(Kernel())
    tracing.trace(GEOMETRY, LAMPS, 2)
    assert [tracing.image(GEOMETRY, lamp, 2).passes for lamp in (*LAMPS, *others)] == [2, 2, 2]
    assert kernel.launches == []
    assert tracing.statistics.kept == {}
    tracing.trace(GEOMETRY, LAMPS, 3)
    assert kernel.passes == [2]
    assert len(caplog.messages) == 1


def test_where_nothing_can_be_written_sums_are_neither_called_kept_nor_in_memory_twice(traced: Traced) -> None:
    traced.folder.write_text("in the way")
    tracing = traced.run()
    seen: list[float | None] = []

    def look(_: int) -> None:
        tracing.save_unfinished()
        seen.append(tracing.unsaved_since)
        assert tracing.store.is_on_disk  # nothing else was traced so far

    traced.by(Kernel(look))
    tracing.trace(GEOMETRY, LAMPS, 3)
    assert len(set(seen)) == 1
    assert seen[0] is not None
    assert not tracing.store.is_on_disk


def test_sums_are_plain_data_of_the_passes(traced: Traced) -> None:
    """What is stored of an unfinished image gives the sums of its halves exactly."""
    traced.by(Kernel(_stop_at(3)))
    tracing = traced.run()
    with pytest.raises(KeyboardInterrupt):
        tracing.trace(GEOMETRY, LAMPS, 6)
    found = traced.run()._images.entries.load_sums(GEOMETRY, FIRST, 0)
    expected = PassSums.empty(CAMERA, 0)
    for number in range(3):
        expected = expected.with_passes(number, Kernel.one(number, 0))
    assert (found.even_passes, found.odd_passes) == (2, 1)
    np.testing.assert_array_equal(found.even, expected.even)
    np.testing.assert_array_equal(found.odd, expected.odd)
