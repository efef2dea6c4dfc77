"""Work carried out here, in company of other runs on the same store."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from gallery.cluster import workers
from gallery.cluster.share import WHOLE, Share
from gallery.cluster.workers import ThisProcess
from render.allocation.work import Work
from render.images import waiting
from render.images.store.leases import lease
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.support.kernel.stub_kernel import FIRST, GEOMETRY, SECOND, THIRD, Kernel, Traced

PIECES = [Work(GEOMETRY, (lamp,), 2, cost) for lamp, cost in ((FIRST, 1.0), (SECOND, 2.0), (THIRD, 3.0))]


@pytest.fixture
def done(monkeypatch: pytest.MonkeyPatch) -> list[Work]:
    """Return the pieces of work that are carried out, in their order; nothing is traced for them."""
    pieces: list[Work] = []

    def carry_out(piece: Work, _: Tracing, tick: Callable[[float], None]) -> None:
        pieces.append(piece)
        tick(piece.cost)

    monkeypatch.setattr(workers, "carry_out", carry_out)
    monkeypatch.setattr(waiting, "WAITING_S", 0.01)
    return pieces


def test_a_share_begins_with_its_own_piece_of_work_and_carries_out_all(tmp_path: Path, done: list[Work]) -> None:
    ticks: list[float] = []
    ThisProcess(Tracing(Store(tmp_path)), Share(2, 3)).carry_out(PIECES, ticks.append)
    assert done == [PIECES[1], PIECES[2], PIECES[0]]
    assert sum(ticks) == 6
    assert list(tmp_path.iterdir()) == []  # no lease is left


def test_a_piece_of_work_that_another_run_is_at_comes_last(
    tmp_path: Path, done: list[Work], caplog: pytest.LogCaptureFixture
) -> None:
    other = lease(tmp_path, f"work-{PIECES[0].key}")
    assert other is not None
    run = threading.Thread(target=ThisProcess(Tracing(Store(tmp_path))).carry_out, args=(PIECES, lambda _: None))
    run.start()
    while not caplog.messages:
        run.join(0.01)
    assert done == PIECES[1:]
    other.release()
    run.join(10)
    assert done == [*PIECES[1:], PIECES[0]]
    assert ["waiting for it" in message for message in caplog.messages] == [True]


def test_a_run_that_waits_for_another_one_sees_that_time_is_over(tmp_path: Path, done: list[Work]) -> None:
    other = lease(tmp_path, f"work-{PIECES[0].key}")
    assert other is not None

    def tick(cost: float) -> None:
        if not cost:
            raise TimeoutError

    with pytest.raises(TimeoutError):
        ThisProcess(Tracing(Store(tmp_path))).carry_out(PIECES, tick)
    other.release()
    assert done == PIECES[1:]
    assert list(tmp_path.iterdir()) == []


def test_a_piece_of_work_that_fails_is_free_for_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(workers, "carry_out", fail)
    with pytest.raises(MemoryError):
        ThisProcess(Tracing(Store(tmp_path))).carry_out(PIECES, lambda _: None)
    assert list(tmp_path.iterdir()) == []


def test_shares_at_once_carry_out_each_piece_of_work_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    traced = Traced(tmp_path, monkeypatch)
    kernel = traced.by(Kernel())
    monkeypatch.setattr(waiting, "WAITING_S", 0.01)
    begun = threading.Barrier(3)

    def carry_out(share: Share) -> None:
        begun.wait()
        ThisProcess(traced.run(), share).carry_out(PIECES, lambda _: None)

    runs = [threading.Thread(target=carry_out, args=(Share(number, 3),)) for number in (1, 2, 3)]
    for run in runs:
        run.start()
    for run in runs:
        run.join(20)
        assert not run.is_alive()
    assert sum(lamps * count for lamps, _, count in kernel.launches) == 2 * len(PIECES)
    assert [traced.run().image(GEOMETRY, piece.lamps[0], 2).passes for piece in PIECES] == [2, 2, 2]


def test_what_is_stored_already_is_not_traced_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    traced = Traced(tmp_path, monkeypatch)
    ThisProcess(traced.run(), WHOLE).carry_out(PIECES, lambda _: None)
    kernel = traced.by(Kernel())
    ThisProcess(traced.run(), Share(3, 3)).carry_out(PIECES, lambda _: None)
    assert kernel.launches == []
