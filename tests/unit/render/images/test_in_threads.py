"""Values are worked on in threads while the next ones come: in order, as many as there is room for."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

import pytest

from render.images.in_threads import in_threads

PATIENCE_S = 20.0
"""More than any thread takes here; what goes on without waiting takes none of it."""


def test_the_next_value_comes_while_the_last_is_worked_on_and_results_are_in_order() -> None:
    has_come = threading.Event()

    def values() -> Iterator[int]:
        yield 0
        has_come.set()
        yield 1

    def work(value: int) -> tuple[int, bool]:
        return value, value > 0 or has_come.wait(PATIENCE_S)

    assert list(in_threads(values(), work, 2)) == [(0, True), (1, True)]


@pytest.mark.parametrize("most", [0, 1])
def test_before_the_next_value_comes_no_more_than_the_most_are_unfinished(most: int) -> None:
    finished: list[int] = []
    unfinished: list[int] = []

    def values() -> Iterator[int]:
        for value in range(6):
            unfinished.append(value - len(finished))
            yield value

    def work(value: int) -> None:
        time.sleep(0.01)  # longer than all values take to come
        finished.append(value)

    list(in_threads(values(), work, most))
    assert len(finished) == 6
    assert max(unfinished) <= most


def test_an_error_in_a_thread_is_raised_and_no_more_values_come() -> None:
    coming = iter(range(1000))

    def work(value: int) -> int:
        return 1 // (3 - value)

    with pytest.raises(ZeroDivisionError):
        list(in_threads(coming, work, 1))
    assert next(coming) < 10


def test_an_interruption_does_not_wait_for_what_is_worked_on() -> None:
    is_over = threading.Event()

    def values() -> Iterator[int]:
        yield 0
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        list(in_threads(values(), lambda _: is_over.wait(PATIENCE_S), 2))
    assert not is_over.is_set()
    is_over.set()
