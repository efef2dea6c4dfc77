"""Two runs at once share the work: leases, and lamp images that another run is tracing."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path

import filelock
import pytest
from filelock import SoftFileLease, Timeout

from render.images import waiting
from render.images.store import leases
from render.images.store.eviction import ABANDONED_S
from render.images.store.image_entries import image_key
from render.images.store.leases import STALE_S, Lease, lease
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.support.kernel.stub_kernel import FIRST, GEOMETRY, LAMPS, SECOND, Kernel

HOLDER = """
import sys
from pathlib import Path
from render.images.store import leases
exec(sys.argv[3])
taken = leases.lease(Path(sys.argv[1]), sys.argv[2])
print("taken", flush=True)
sys.stdin.readline()
taken.release()
"""


def holding(folder: Path, key: str, setting: str = "pass") -> subprocess.Popen[str]:
    """Return another process that has the lease of a key until it reads a line; `setting` is Python that it runs."""
    words = [sys.executable, "-c", HOLDER, str(folder), key, setting]
    holder = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert holder.stdout
    assert holder.stdout.readline() == "taken\n"
    return holder


def taken(folder: Path, key: str = "a") -> Lease:
    found = lease(folder, key)
    assert found is not None
    return found


def test_a_lease_is_given_once_until_it_is_released_and_leaves_no_file(tmp_path: Path) -> None:
    first = taken(tmp_path)
    assert lease(tmp_path, "a") is None
    taken(tmp_path, "b").release()
    first.release()
    taken(tmp_path).release()
    assert list(tmp_path.iterdir()) == []


def test_the_lease_of_a_killed_process_is_free(tmp_path: Path) -> None:
    holder = holding(tmp_path, "a")
    assert lease(tmp_path, "a") is None
    holder.kill()
    holder.communicate()
    taken(tmp_path).release()


def test_the_lease_of_a_process_that_shows_no_sign_of_life_is_taken_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(leases, "STALE_S", 0.4)
    holder = holding(tmp_path, "a", "leases.STALE_S = 0.4")
    try:
        for _ in range(3):
            assert lease(tmp_path, "a") is None  # it is alive
            time.sleep(0.15)
        holder.send_signal(signal.SIGSTOP)
        first_seen = time.monotonic()
        while (again := lease(tmp_path, "a")) is None and time.monotonic() - first_seen < 10:
            time.sleep(0.02)
        assert again is not None
        assert time.monotonic() - first_seen > 0.3
        holder.send_signal(signal.SIGCONT)
        holder.communicate("\n", timeout=10)  # it has released what is no longer its own
        assert lease(tmp_path, "a") is None
        again.release()
    finally:
        holder.kill()
        holder.communicate()
    assert list(tmp_path.iterdir()) == []


def test_a_lease_of_another_machine_is_judged_by_whether_it_changes_and_not_by_its_clock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(leases, "STALE_S", 0.2)
    first = taken(tmp_path)
    (file,) = tmp_path.iterdir()
    record = file.read_text(encoding="utf-8")
    first.release()
    file.write_text(re.sub("(?m)^host=.*$", "host=elsewhere", record), encoding="utf-8")
    for day in (-1, 2, -3, 4):
        os.utime(file, (time.time() + day * 86400,) * 2)
        assert lease(tmp_path, "a") is None
        time.sleep(0.1)
    time.sleep(0.15)
    again = taken(tmp_path)
    assert lease(tmp_path, "a") is None
    again.release()


def test_the_lease_of_a_process_that_was_killed_before_it_wrote_its_name_is_free_after_a_while(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(leases, "STALE_S", 0.1)
    (tmp_path / ".a.lease").touch()
    assert [lease(tmp_path, "a"), lease(tmp_path, "a")] == [None, None]
    time.sleep(0.15)
    assert lease(tmp_path, "a") is None  # it is removed
    taken(tmp_path).release()


def test_of_many_that_take_over_a_lease_one_gets_it(tmp_path: Path) -> None:
    holder = holding(tmp_path, "a")
    locks = [SoftFileLease(tmp_path / ".a.lease", lease_duration=STALE_S, thread_local=False) for _ in range(8)]
    holder.kill()
    holder.communicate()
    begun = threading.Barrier(len(locks))

    def take_over(lock: SoftFileLease) -> None:
        begun.wait()
        with suppress(Timeout):
            lock.acquire(blocking=False)

    threads = [threading.Thread(target=take_over, args=(lock,)) for lock in locks]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(lock.is_locked for lock in locks) == 1
    for lock in locks:
        lock.release()
    taken(tmp_path).release()


def test_a_run_whose_work_does_not_go_on_gives_its_lease_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(leases, "HANGING_S", 0.1)
    first = taken(tmp_path)
    for _ in range(4):
        time.sleep(0.05)
        first.beat()
        assert lease(tmp_path, "a") is None
    time.sleep(0.3)
    taken(tmp_path).release()
    first.release()


@pytest.mark.parametrize("error", [NotImplementedError, PermissionError, OSError])
def test_where_files_cannot_be_locked_every_run_gets_the_lease(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: type[Exception]
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise error("locks are not supported")

    monkeypatch.setattr(filelock.SoftFileLease, "acquire", refuse)
    for again in (taken(tmp_path), taken(tmp_path)):
        again.beat()
        again.release()


def test_where_nothing_can_be_written_every_run_gets_the_lease(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    taken(tmp_path / "file").release()


def test_leases_that_nobody_has_released_leave_after_an_hour(tmp_path: Path) -> None:
    file = tmp_path / f".image-{'0f3a' * 8}.lease"
    for age, is_kept in ((ABANDONED_S - 60, True), (ABANDONED_S + 60, False)):
        file.touch()
        os.utime(file, (time.time() - age,) * 2)
        Store(tmp_path).save("a")
        assert file.exists() == is_kept
    file.touch()
    assert "lease" in {entry.kind for entry in Store(tmp_path).entries()}


class Runs:
    """Runs in threads, each with a kernel of its own, on one cache."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        self.kernels: dict[Tracing, Kernel] = {}
        monkeypatch.setattr(Tracing, "_tracer_of", lambda tracing, _: self.kernels[tracing])
        monkeypatch.setattr(waiting, "WAITING_S", 0.01)

    def run(self, kernel: Kernel) -> Tracing:
        tracing = Tracing(Store(self.folder))
        self.kernels[tracing] = kernel
        return tracing


@pytest.fixture
def runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Runs:
    return Runs(tmp_path / "cache", monkeypatch)


def test_what_another_run_is_tracing_is_waited_for_with_a_line_and_not_traced_again(
    runs: Runs, caplog: pytest.LogCaptureFixture
) -> None:
    begun, waited = threading.Event(), threading.Event()

    def slow(_: int) -> None:
        begun.set()
        assert waited.wait(10)

    first = runs.run(Kernel(slow))
    thread = threading.Thread(target=first.trace, args=(GEOMETRY, {FIRST: 0}, 2))
    thread.start()
    assert begun.wait(10)
    kernel = Kernel(lambda _: waited.set())  # the other lamp is traced meanwhile
    second = runs.run(kernel)
    ticks: list[int] = []
    second.trace(GEOMETRY, LAMPS, 2, ticks.append)
    thread.join()
    assert [lamps for lamps, _, _ in kernel.launches] == [1, 1]
    assert second.statistics.reused == {image_key(GEOMETRY, FIRST)}
    assert second.statistics.traced == {image_key(GEOMETRY, SECOND)}
    assert second.image(GEOMETRY, FIRST, 2).passes == 2
    assert sum(ticks) == 4
    assert len(caplog.messages) <= 1
    assert list(runs.folder.glob(".*")) == []


def test_a_run_that_waits_says_so_once(runs: Runs, caplog: pytest.LogCaptureFixture) -> None:
    holder = holding(runs.folder, image_key(GEOMETRY, FIRST))
    kernel = Kernel()
    tracing = runs.run(kernel)
    thread = threading.Thread(target=tracing.trace, args=(GEOMETRY, LAMPS, 2))
    thread.start()
    while not caplog.messages:
        time.sleep(0.01)
    time.sleep(0.1)
    assert {lamps for lamps, _, _ in kernel.launches} == {1}  # the lamp that is free
    holder.kill()
    holder.communicate()
    thread.join(10)
    assert tracing.image(GEOMETRY, FIRST, 2).passes == 2
    (told,) = caplog.messages
    assert "another run is tracing a lamp image that this one needs" in told


def test_a_run_that_waits_for_a_lamp_image_sees_that_time_is_over(runs: Runs) -> None:
    other = taken(runs.folder, image_key(GEOMETRY, FIRST))

    def tick(count: int) -> None:
        if not count:
            raise TimeoutError

    with pytest.raises(TimeoutError):
        runs.run(Kernel()).trace(GEOMETRY, {FIRST: 0}, 2, tick)
    other.release()


def test_runs_that_need_the_same_lamps_in_other_orders_do_not_wait_for_each_other_for_ever(runs: Runs) -> None:
    kernels = [Kernel(lambda _: time.sleep(0.002)) for _ in range(4)]
    tracings = [runs.run(kernel) for kernel in kernels]
    orders = [{FIRST: 0, SECOND: 1}, {SECOND: 1, FIRST: 0}, {FIRST: 1, SECOND: 0}, {SECOND: 0, FIRST: 1}]
    threads = [
        threading.Thread(target=tracing.trace, args=(GEOMETRY, order, 6), daemon=True)
        for tracing, order in zip(tracings, orders, strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(20)
        assert not thread.is_alive()
    assert sum(lamps * count for kernel in kernels for lamps, _, count in kernel.launches) == 2 * 6
    assert all(tracing.image(GEOMETRY, lamp, 6).passes == 6 for tracing in tracings for lamp in LAMPS)
