"""What the rounds of a sheet do, by their number: the passes that each of its lamp images is to have afterwards."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

import numpy as np

from render.images.waiting import WAITING_S

from .container import ArraySpec
from .keys import result_key
from .leases import lease
from .store import Store

PLAN_VERSION = 1
"""Part of every key: change it when equal sums would be planned for differently."""


class RoundEntries:
    """The rounds of a sheet in a store; `depicted` is a hash of all that its frames show."""

    def __init__(self, store: Store, depicted: str, images: int) -> None:
        self.store = store
        self._depicted = depicted
        self._spec = {"passes": ArraySpec("int64", (images,))}

    def load(self, number: int) -> list[int] | None:
        """Return the passes of each image after a round; None where no run has planned it."""
        stored = self.store.load(self._key(number), self._spec)
        return [int(passes) for passes in stored["passes"]] if stored else None

    def load_or_plan(self, number: int, plan: Callable[[], Sequence[int]]) -> list[int]:
        """Return the passes of each image after a round, as the first run has planned it that came to it.

        One plans at a time: the next would count what the first has traced by then, and plan another round.
        """
        key = self._key(number)
        while (planned := self.load(number)) is None:
            taken = lease(self.store.folder, key)
            if taken is None:
                time.sleep(WAITING_S)
                continue
            try:
                if self.load(number) is None:
                    passes = plan()
                    if self.load(number) is None:  # no run took over while this one slept
                        self.store.save(key, passes=np.array(passes, np.int64))
            finally:
                taken.release()
        return planned

    def _key(self, number: int) -> str:
        return result_key("round", self._depicted, number, PLAN_VERSION)
