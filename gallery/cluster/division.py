"""How the work of a command is divided: `--share` and `--cluster` as one choice of workers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, TypeAlias

from scenes.errors import InputError

from .address import ClusterAddress, read_cluster
from .share import WHOLE, Share, read_share

if TYPE_CHECKING:
    from gallery.sheet.request import Request
    from render.images.tracing import Tracing
    from render.shot import Shot

    from .workers import Workers

WorkersFor: TypeAlias = "Callable[[Request, Sequence[Shot], Tracing], Workers]"
"""Returns the workers for a sheet: what it was asked for, its shots, the way to its lamp images."""


@dataclass(frozen=True)
class Division:
    """A share of the work, or a cluster that does all of it; else this process does."""

    share: Share = WHOLE
    cluster: ClusterAddress | None = None

    @contextmanager
    def workers(self) -> Iterator[WorkersFor]:
        """Yield what returns the workers of each sheet, who are there until the end of the context.

        It connects to the cluster for the first sheet that has come so far, and raises RuntimeError where that is not
        reached, or its workers do not share the store.
        """
        address = self.cluster
        if address is None:
            from .workers import ThisProcess

            yield lambda _, __, tracing: ThisProcess(tracing, self.share)
            return
        from .cluster import connected
        from .dask_workers import DaskWorkers

        with ExitStack() as stack:
            connect = cache(lambda folder: stack.enter_context(connected(address, folder)))
            yield lambda request, shots, tracing: DaskWorkers(
                connect(tracing.store.folder), request, shots, tracing.statistics
            )


def read_division(share: str | None, cluster: str | None) -> Division:
    """Return how the work is divided by the options as they were typed.

    Raises
    ------
    InputError
        For a value that is none, and for both at once.
    """
    if share is not None and cluster is not None:
        raise InputError(f"--share {share}: --cluster {cluster} divides the work by itself; give one of them")
    return Division(WHOLE if share is None else read_share(share), None if cluster is None else read_cluster(cluster))
