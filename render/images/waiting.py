"""Waiting for lamp images that another run traces."""

from __future__ import annotations

import logging
import time
from typing import Final

WAITING_S: Final = 0.5
"""Between two looks whether another run has finished a lamp image."""

_log = logging.getLogger(__name__)


class Waiting:
    """Waits a moment at a time, and says so the first time."""

    def __init__(self) -> None:
        self._is_noted = False

    def wait(self, images: int) -> None:
        """Wait for a number of lamp images, of which nothing may be leased here meanwhile: so none waits for all."""
        if not self._is_noted:
            missing = "a lamp image" if images == 1 else f"{images} lamp images"
            _log.warning("spruelight: another run is tracing %s that this one needs: waiting for it", missing)
        self._is_noted = True
        time.sleep(WAITING_S)
