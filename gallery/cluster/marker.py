"""The file by which workers see that the store's folder is the one of the process that sends them work."""

from __future__ import annotations

import os
from pathlib import Path

from render.images.store.leases import Lease, lease, lease_path


class Marker:
    """A file in a store's folder, under a name of its own.

    It is a lease, and so goes with its process. It goes too where work stands still for long, as while many frames are
    taken, or where the machine sleeps: it is to be renewed before work is sent.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._key = f"cluster-{os.urandom(16).hex()}"
        self._lease: Lease | None = None

    @property
    def name(self) -> str:
        """The name of the file."""
        return lease_path(self._folder, self._key).name

    def renew(self) -> bool:
        """See that the file is there, and return whether it is: it is not where the folder cannot be written to."""
        path = lease_path(self._folder, self._key)
        if self._lease is None or not path.exists():
            self.remove()
            self._lease = lease(self._folder, self._key)
        if self._lease is not None:
            self._lease.beat()
        return path.exists()

    def remove(self) -> None:
        """Remove the file."""
        if self._lease is not None:
            self._lease.release()
