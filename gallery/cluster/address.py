"""Which cluster does the work, as it is typed: a Dask scheduler's address, or workers on this machine."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from scenes.errors import InputError

MOST_WORKERS: Final = 256


@dataclass(frozen=True)
class ClusterAddress:
    """Either the scheduler of a cluster, as `tcp://host:8786`, or a number of workers to start here."""

    scheduler: str | None = None
    workers: int = 0

    def __str__(self) -> str:
        """Return it as it is typed."""
        return self.scheduler or f"local:{self.workers}"


def read_cluster(typed: str) -> ClusterAddress:
    """Return the cluster of `tcp://host:8786`, `tls://host:8786` or `local:4`.

    Raises
    ------
    InputError
        For other text, and where the extra `cluster` is not installed.
    """
    text = typed.strip()
    count = re.fullmatch(r"local:(\d{1,3})", text, re.ASCII)
    if count and 1 <= int(count[1]) <= MOST_WORKERS:
        address = ClusterAddress(workers=int(count[1]))
    elif re.fullmatch(r"(tcp|tls)://([\w.-]+|\[[0-9a-fA-F:]+\]):\d{1,5}", text, re.ASCII):
        address = ClusterAddress(text)
    else:
        raise InputError(
            f"--cluster {typed}: give the address of a Dask scheduler, as tcp://host:8786 or tls://host:8786, or a "
            f"number of workers on this machine up to {MOST_WORKERS}, as local:4"
        )
    try:
        import cryptography  # noqa: F401
        import distributed  # noqa: F401
    except ImportError:
        raise InputError(f"--cluster {typed}: needs Dask: run `pip install distributed cryptography`") from None
    return address
