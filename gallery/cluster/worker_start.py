"""What a worker on this machine does when it starts: Dask calls `dask_setup`.

Ctrl-C reaches all processes of a terminal. The one that started the workers ends them; they themselves ignore it.
"""

from __future__ import annotations

import signal


def dask_setup(_worker: object) -> None:
    """Ignore Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
