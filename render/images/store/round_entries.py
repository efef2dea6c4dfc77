"""What the rounds of a sheet do, by their number: the passes that each of its lamp images is to have afterwards."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .container import ArraySpec
from .keys import result_key
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

    def save(self, number: int, passes: Sequence[int]) -> None:
        """Store the passes of each image after a round."""
        self.store.save(self._key(number), passes=np.array(passes, np.int64))

    def _key(self, number: int) -> str:
        return result_key("round", self._depicted, number, PLAN_VERSION)
