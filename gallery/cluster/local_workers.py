"""Workers on this machine: processes with a part of its cores each, and a card each where it has several."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from .cards import CARD_VARIABLE, visible_cards


def threads_each(workers: int) -> int:
    """Return the number of renderer threads of each of so many workers."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, cores // workers)


LEAKED: Final = "ignore:resource_tracker"
"""Python warns of semaphores of a process that Ctrl-C ended while workers were there, though it removes them."""


@contextmanager
def started_workers(workers: int) -> Iterator[Any]:
    """Start so many workers and their scheduler, yield the cluster, and end them.

    They talk by TLS with a certificate of their own: whoever reaches a scheduler can run code as its user, and other
    users of this machine reach all of its ports.
    """
    from distributed import Nanny, Scheduler, SpecCluster
    from distributed.security import Security

    if LEAKED not in sys.warnoptions:
        sys.warnoptions.append(LEAKED)  # passed on to the process that warns
    security = Security.temporary()
    common = {"host": "127.0.0.1", "protocol": "tls://", "security": security}
    options = {
        **common, "nthreads": 1, "memory_limit": 0, "silence_logs": logging.CRITICAL,
        "preload": ["gallery.cluster.worker_start"],
    }  # fmt: skip
    threads = threads_each(workers)
    spec = {i: {"cls": Nanny, "options": {**options, "env": environment_of(i, threads)}} for i in range(workers)}
    scheduler = {"cls": Scheduler, "options": {**common, "port": 0, "dashboard": False, "dashboard_address": ":0"}}
    with SpecCluster(
        workers=spec, scheduler=scheduler, security=security, silence_logs=logging.CRITICAL, name="spruelight"
    ) as cluster:
        yield cluster


def environment_of(worker: int, threads: int) -> dict[str, str]:
    """Return the environment of a worker, set before anything of the renderer is imported."""
    cards = visible_cards()
    card = {CARD_VARIABLE: cards[worker % len(cards)]} if cards else {}
    return {"OIDN_NUM_THREADS": str(threads), "OIDN_SET_AFFINITY": "0", **card}
