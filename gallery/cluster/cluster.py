"""A connection to a Dask cluster, for as long as a command works with it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from .address import ClusterAddress
from .local_workers import started_workers, threads_each
from .marker import Marker

CONNECTING_S: Final = 30
STARTING_S: Final = 120
"""For the first worker to be there."""
CLOSING_S: Final = 2


@dataclass(frozen=True, eq=False)
class Cluster:
    """A connection to a cluster whose workers share the store's folder.

    Parameters
    ----------
    client
        Dask's.
    marker
        In the store's folder.
    threads
        Of the renderer in each worker; None means one a core.
    unfit
        Addresses of workers that are given no more work.
    """

    client: Any
    marker: Marker
    threads: int | None
    unfit: set[str] = field(default_factory=set)

    def fit_workers(self) -> list[str]:
        """Return the addresses of the workers that may be given work."""
        return sorted(set(self.client.scheduler_info(n_workers=-1)["workers"]) - self.unfit)


@contextmanager
def connected(address: ClusterAddress, folder: Path) -> Iterator[Cluster]:
    """Connect to a cluster, or start workers here; `folder` is the store's, which its workers have to see.

    Raises
    ------
    RuntimeError
        If nothing answers there, no worker is there, or the folder cannot be written to.
    """
    from distributed import Client

    with ExitStack() as stack:
        marker = Marker(folder)
        if not marker.renew():
            raise RuntimeError(
                f"--cluster {address}: the cache folder {folder} cannot be written to, and workers share it"
            )
        stack.callback(marker.remove)
        if address.scheduler is None:
            to, threads = stack.enter_context(started_workers(address.workers)), threads_each(address.workers)
        else:
            to, threads = address.scheduler, None
        try:
            client = Client(to, timeout=CONNECTING_S)
            stack.callback(client.close, CLOSING_S)
        except (OSError, ValueError, TypeError, RuntimeError) as error:
            raise RuntimeError(
                f"--cluster {address}: no Dask scheduler is reached there ({error}); start one with dask scheduler, "
                "and with tls:// name your certificates in Dask's configuration"
            ) from None
        try:
            client.wait_for_workers(1, timeout=STARTING_S)
        except TimeoutError:
            raise RuntimeError(
                f"--cluster {address}: its scheduler has no worker; start some with dask worker {address} --nthreads 1"
            ) from None
        yield Cluster(client, marker, threads)
