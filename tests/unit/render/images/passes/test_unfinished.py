"""What is being traced is saved in time, by any interruption too, and going on gives the same image."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from render.images.passes import unfinished
from render.images.passes.rungs import rungs_to
from render.images.passes.sealing import SealedImage
from render.images.store.image_entries import ImageEntries
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.support.kernel.stub_kernel import FIRST, GEOMETRY, LAMPS, SECOND, Kernel, Traced, same, stop_at


@pytest.fixture
def traced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Traced:
    return Traced(tmp_path / "cache", monkeypatch)


def uninterrupted(folder: Path, traced: Traced, passes: int, together: int) -> SealedImage:
    """Return the image of a run from nothing in a folder of its own."""
    traced.by(Kernel(together=together))
    tracing = Tracing(Store(folder))
    tracing.trace(GEOMETRY, LAMPS, passes)
    return tracing.image(GEOMETRY, FIRST, passes)


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
    assert not run.statistics.traced
    assert (run.unsaved_since is None) == (where == "after a launch")
    resumed = traced.by(Kernel(together=together))
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 10)
    assert sorted(stopping.passes + resumed.passes) == list(range(draft, 10))
    assert same(later.image(GEOMETRY, FIRST, 10), whole)
    assert same(traced.run().image(GEOMETRY, SECOND, 10), whole)


class Clock:
    """Time that a launch takes a second of, and writing a moment."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, launch_s: float, writing_s: float) -> None:
        self.now, self.writing_s, self.launch_s = 1000.0, writing_s, launch_s
        self.saved_at: list[float] = []
        monkeypatch.setattr(time, "monotonic", lambda: self.now)
        for name in ("save_sums", "save_sealed"):
            monkeypatch.setattr(ImageEntries, name, self.timed(getattr(ImageEntries, name)))

    def timed(self, save: Callable[..., object]) -> Callable[..., object]:
        def timed_save(*arguments: object) -> object:
            self.now += self.writing_s
            self.saved_at.append(self.now)
            return save(*arguments)

        return timed_save

    def launch(self, _: int) -> None:
        self.now += self.launch_s


@pytest.mark.parametrize(("launch_s", "writing_s"), [(1.0, 0.01), (7.0, 0.5), (1.0, 2.0), (25.0, 0.1), (59.0, 1.0)])
def test_it_is_saved_once_a_minute_at_least_with_a_twentieth_of_the_time_for_writing(
    traced: Traced, monkeypatch: pytest.MonkeyPatch, launch_s: float, writing_s: float
) -> None:
    clock = Clock(monkeypatch, launch_s, writing_s)
    started = clock.now
    traced.by(Kernel(clock.launch))
    traced.run().trace(GEOMETRY, {FIRST: 0}, 80)
    gaps = np.diff([started, *clock.saved_at, clock.now])
    assert gaps.max() <= 60 + writing_s
    rungs = len(list(rungs_to(0, 80)))
    assert (len(clock.saved_at) - rungs) * writing_s <= 0.05 * (clock.now - started) + writing_s
    assert traced.run().image(GEOMETRY, FIRST, 80).passes == 80


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
    traced.by(Kernel(stop_at(1)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 4)
    (told,) = caplog.messages
    assert "saving" in told


def test_where_nothing_can_be_written_sums_are_neither_called_kept_nor_in_memory_twice(traced: Traced) -> None:
    traced.folder.write_text("in the way")
    tracing = traced.run()
    seen: list[float | None] = []

    def look(_: int) -> None:
        tracing.save_unfinished()
        seen.append(tracing.unsaved_since)
        assert tracing.store.is_on_disk  # nothing else was traced so far

    traced.by(Kernel(look))
    tracing.trace(GEOMETRY, LAMPS, 2)
    assert len(set(seen)) == 1
    assert seen[0] is not None
    assert not tracing.store.is_on_disk


@pytest.mark.parametrize("wanted", [4, 8])
def test_a_run_that_slept_leaves_what_another_has_brought_further_meanwhile(
    tmp_path: Path, traced: Traced, wanted: int
) -> None:
    whole = uninterrupted(tmp_path / "whole", traced, 16, 1)

    def sleep(number: int) -> None:
        if number == 3:
            for path in traced.folder.glob("*.lease"):  # as one that is taken over
                path.unlink()
            traced.by(Kernel())
            traced.run().trace(GEOMETRY, LAMPS, 16)

    traced.by(Kernel(sleep))
    traced.run().trace(GEOMETRY, LAMPS, wanted)
    assert same(traced.run().image(GEOMETRY, FIRST, 16), whole)
    written = {path.name: path.read_bytes() for path in traced.folder.iterdir()}
    assert written == {path.name: path.read_bytes() for path in (tmp_path / "whole").iterdir()}
