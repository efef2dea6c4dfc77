"""Work given to a cluster, with a stand-in for Dask that ends each piece of work as it is told to."""

from __future__ import annotations

import json
import sys
from collections import deque
from collections.abc import Callable
from concurrent.futures import CancelledError
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

from gallery.cluster.cluster import Cluster
from gallery.cluster.dask_workers import DaskWorkers
from gallery.cluster.marker import Marker
from gallery.cluster.remote_work import carry_out_piece
from gallery.cluster.surroundings import UnfitWorkerError
from gallery.sheet.request import Request
from render.allocation.work import Work
from render.images.image_tracing import TraceStatistics
from render.images.store.image_entries import image_key
from tests.support.kernel.stub_kernel import FIRST, GEOMETRY, SECOND, THIRD

REQUEST = Request(file="diver.toml", sizing={"height_cm": 18.0}, setups=("loop",), quality="draft")
PIECES = [Work(GEOMETRY, (lamp,), 2, cost) for lamp, cost in ((FIRST, 1.0), (SECOND, 2.0), (THIRD, 3.0))]
STATISTICS = TraceStatistics()
WORKERS = ["tcp://a:1", "tcp://b:1"]
UNFIT = UnfitWorkerError("tcp://a:1", "does not see the shared cache")


@dataclass(eq=False)
class Future:
    """How a piece of work ends: with an error, or well."""

    error: Exception | None

    @property
    def status(self) -> str:
        return "finished" if self.error is None else "error"

    def exception(self) -> Exception | None:
        return self.error


class Client:
    """Ends pieces of work by `errors`, one after the other, and well once there are no more."""

    def __init__(self, *errors: Exception | None) -> None:
        self.errors = deque(errors)
        self.submitted: list[tuple[tuple[Any, ...], dict[str, Any]]] = []
        self.cancelled: list[Future] = []

    def submit(self, *args: Any, **options: Any) -> Future:
        self.submitted.append((args, options))
        return Future(self.errors.popleft() if self.errors else None)

    def cancel(self, futures: list[Future]) -> None:
        self.cancelled += futures

    def scheduler_info(self, n_workers: int) -> dict[str, Any]:
        assert n_workers == -1  # all
        return {"workers": dict.fromkeys(WORKERS)}


@pytest.fixture
def workers_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[Client], DaskWorkers]:
    """Return what makes the workers of a stand-in's client."""
    dask = ModuleType("distributed")
    dask.CancelledError = CancelledError  # type: ignore[attr-defined]
    dask.wait = lambda futures, **_: SimpleNamespace(done=futures[:1])  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "distributed", dask)

    def workers(client: Client) -> DaskWorkers:
        return DaskWorkers(Cluster(client, Marker(tmp_path), 1), REQUEST, (), STATISTICS)

    return workers


def test_nothing_but_text_and_numbers_travels_and_what_was_traced_is_noted(
    workers_of: Callable[[Client], DaskWorkers],
) -> None:
    client, ticks = Client(), list[float]()
    workers_of(client).carry_out(PIECES, ticks.append)
    assert sum(ticks) == 6
    assert STATISTICS.traced == {image_key(GEOMETRY, lamp) for lamp in (FIRST, SECOND, THIRD)}
    for args, options in client.submitted:
        assert args[0] is carry_out_piece  # which workers import by its name
        assert json.loads(json.dumps(args[1:])) == list(args[1:])
        assert options["workers"] is None
    (sheet,) = {args[1] for args, _ in client.submitted}
    assert json.loads(sheet)["sizing"] == {"height_cm": 18.0}


def test_the_work_of_an_unfit_worker_is_given_to_others_with_one_line(
    workers_of: Callable[[Client], DaskWorkers], capsys: pytest.CaptureFixture[str]
) -> None:
    client, ticks = Client(UNFIT, UNFIT), list[float]()
    workers_of(client).carry_out(PIECES, ticks.append)
    assert sum(ticks) == 6
    assert [options["workers"] for _, options in client.submitted] == [None, None, None, WORKERS[1:], WORKERS[1:]]
    assert capsys.readouterr().err == (
        "spruelight: the worker at tcp://a:1 does not see the shared cache; others do its work\n"
    )


def test_where_no_worker_is_fit_the_last_one_says_why(workers_of: Callable[[Client], DaskWorkers]) -> None:
    client = Client(UNFIT, UnfitWorkerError("tcp://b:1", "traces with another version"))
    with pytest.raises(UnfitWorkerError, match=r"^the worker at tcp://b:1 traces with another version$"):
        workers_of(client).carry_out(PIECES, lambda _: None)
    assert len(client.cancelled) == 2  # the third piece, and the first again


def test_work_that_fails_ends_the_rest_of_it(workers_of: Callable[[Client], DaskWorkers]) -> None:
    client = Client(None, MemoryError("no room"))
    with pytest.raises(RuntimeError, match=r"^a worker of the cluster has failed: no room$"):
        workers_of(client).carry_out(PIECES, lambda _: None)
    assert len(client.cancelled) == 1


def test_while_no_piece_of_work_ends_it_is_seen_that_time_is_over(
    workers_of: Callable[[Client], DaskWorkers], monkeypatch: pytest.MonkeyPatch
) -> None:
    def end_nothing(*_: object, **__: object) -> None:
        raise TimeoutError

    looks: list[float] = []

    def tick(cost: float) -> None:
        looks.append(cost)
        if len(looks) == 3:
            raise StopIteration

    client = Client()
    workers = workers_of(client)
    monkeypatch.setattr(sys.modules["distributed"], "wait", end_nothing)
    with pytest.raises(StopIteration):
        workers.carry_out(PIECES, tick)
    assert looks == [0, 0, 0]
    assert len(client.cancelled) == len(PIECES)


def test_a_lost_connection_says_that_what_is_stored_is_kept(
    workers_of: Callable[[Client], DaskWorkers], monkeypatch: pytest.MonkeyPatch
) -> None:
    def lose(*_: object, **__: object) -> None:
        raise CancelledError

    workers = workers_of(Client())
    monkeypatch.setattr(sys.modules["distributed"], "wait", lose)
    with pytest.raises(RuntimeError, match="connection to the cluster is lost; the same command goes on"):
        workers.carry_out(PIECES, lambda _: None)
