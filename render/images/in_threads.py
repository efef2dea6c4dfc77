"""Work on values in threads while the next values come."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar

Value = TypeVar("Value")
Result = TypeVar("Result")


def in_threads(values: Iterator[Value], work: Callable[[Value], Result], most: int) -> Iterator[Result]:
    """Yield the result of the work on each value, in their order.

    The values come one after the other in the thread that asks for the results. Before the next one is asked for, at
    most `most` are being worked on or wait for it, and two for each core: with none, each is done with first.
    """
    cores = os.cpu_count() or 1
    most = min(most, 2 * cores)
    pool = ThreadPoolExecutor(max(1, min(most, cores)))
    pending: deque[Future[Result]] = deque()
    try:
        for value in values:
            pending.append(pool.submit(work, value))
            del value  # it is large
            while pending and (len(pending) > most or pending[0].done()):
                yield pending.popleft().result()
        while pending:
            yield pending.popleft().result()
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
