"""Passes are traced, stored and added to; a stub in place of the kernel counts its passes."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from render.images.passes.pass_sums import PassSums
from render.images.passes.unfinished import UnfinishedImages
from render.images.store.image_entries import image_key
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.support.kernel.stub_kernel import FIRST, GEOMETRY, LAMPS, SECOND, THIRD, Kernel, Traced, same, stop_at
from tests.support.light import CAMERA


@pytest.fixture
def traced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Traced:
    return Traced(tmp_path / "cache", monkeypatch)


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
    traced.by(Kernel(stop_at(3)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 8)
    assert same(traced.run().image(GEOMETRY, FIRST, 2), draft)
    assert traced.run().stored_passes(GEOMETRY, FIRST) == (3, 0)
    traced.by(Kernel())
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 8)
    assert traced.kernel.passes == [3, 4, 5, 6, 7]
    assert Counter(path.name.partition("-")[0] for path in traced.folder.iterdir()) == {"image": 2, "halves": 2}


def test_lamps_that_are_unequally_far_catch_up_and_go_on_together(traced: Traced) -> None:
    traced.by(Kernel(stop_at(3)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, {FIRST: 0}, 6)
    kernel = traced.by(Kernel())
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 6)
    assert later.statistics.traced == {image_key(GEOMETRY, lamp) for lamp in LAMPS}
    assert same(later.image(GEOMETRY, FIRST, 6), later.image(GEOMETRY, SECOND, 6))
    assert sum(lamps for lamps, _, _ in kernel.launches) == 3 + 6


def test_an_image_at_a_rung_is_good_enough_while_it_is_traced_on(traced: Traced) -> None:
    traced.by(Kernel(stop_at(5)))
    with pytest.raises(KeyboardInterrupt):
        traced.run().trace(GEOMETRY, LAMPS, 8)
    kernel = traced.by(Kernel())
    draft = traced.run()
    draft.trace(GEOMETRY, LAMPS, 2)
    assert kernel.launches == []
    assert draft.image(GEOMETRY, FIRST, 2).passes == 4
    traced.run().trace(GEOMETRY, LAMPS, 8)
    assert kernel.passes == [5, 6, 7]


@pytest.mark.parametrize("drafts", [(2,), (4,), (2, 4, 8), (8, 12)])
@pytest.mark.parametrize("together", [1, 4])
def test_an_image_at_a_rung_has_the_same_bits_whatever_was_asked_for_before(
    tmp_path: Path, traced: Traced, drafts: tuple[int, ...], together: int
) -> None:
    traced.by(Kernel(together=together))
    for passes in (*drafts, 16):
        traced.run().trace(GEOMETRY, LAMPS, passes)
    at_once = Tracing(Store(tmp_path / "at once"))
    at_once.trace(GEOMETRY, LAMPS, 16)
    assert same(traced.run().image(GEOMETRY, FIRST, 16), at_once.image(GEOMETRY, FIRST, 16))
    images = {file.name: file.read_bytes() for file in traced.folder.iterdir()}
    assert images == {file.name: file.read_bytes() for file in (tmp_path / "at once").iterdir()}


def test_sums_that_were_saved_whole_but_not_sealed_are_sealed_first(tmp_path: Path, traced: Traced) -> None:
    """A run that ends between the last pass of a rung and its sealing changes nothing."""
    run = traced.run()
    run.trace(GEOMETRY, LAMPS, 2)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(UnfinishedImages, "seal", stop_at(0).__get__(0))
        with pytest.raises(KeyboardInterrupt):
            run.trace(GEOMETRY, LAMPS, 4)
    assert traced.run().stored_passes(GEOMETRY, FIRST) == (4, 0)
    assert traced.run().sealed_passes(GEOMETRY, FIRST) == 2
    kernel = traced.by(Kernel())
    later = traced.run()
    later.trace(GEOMETRY, LAMPS, 8)
    assert kernel.passes == [4, 5, 6, 7]
    whole = Tracing(Store(tmp_path / "whole"))
    whole.trace(GEOMETRY, LAMPS, 8)
    assert same(later.image(GEOMETRY, FIRST, 8), whole.image(GEOMETRY, FIRST, 8))


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
    traced.by(Kernel(stop_at(3)))
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
    others = {THIRD: 0}
    tracing.trace(GEOMETRY, LAMPS, 2)
    tracing.trace(GEOMETRY, others, 2)
    kernel = traced.by(Kernel())
    tracing.trace(GEOMETRY, LAMPS, 2)
    assert [tracing.image(GEOMETRY, lamp, 2).passes for lamp in (*LAMPS, *others)] == [2, 2, 2]
    assert kernel.launches == []
    tracing.trace(GEOMETRY, LAMPS, 3)
    assert kernel.passes == [2]
    assert len(caplog.messages) == 1


def test_sums_are_plain_data_of_the_passes(traced: Traced) -> None:
    """What is stored of an unfinished image gives the sums of its halves exactly."""
    traced.by(Kernel(stop_at(7)))
    tracing = traced.run()
    with pytest.raises(KeyboardInterrupt):
        tracing.trace(GEOMETRY, LAMPS, 8)
    found = traced.run()._images.entries.load_sums(GEOMETRY, FIRST, 0)
    assert found.earlier_passes == 4
    expected = PassSums.empty(CAMERA, 0)
    for number in range(4, 7):
        expected = expected.with_passes(number, Kernel.one(number, 0))
    assert (found.even_passes, found.odd_passes) == (2, 1)
    np.testing.assert_array_equal(found.even, expected.even)
    np.testing.assert_array_equal(found.odd, expected.odd)
