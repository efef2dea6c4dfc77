"""Who carries out the work of a round; and this process, which shares it with other runs on the same store."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from render.allocation.work import Work, carry_out
from render.images.store.leases import lease
from render.images.tracing import Tracing
from render.images.waiting import Waiting

from .share import WHOLE, Share


class Workers(Protocol):
    """Carries out work."""

    def carry_out(self, work: Sequence[Work], tick: Callable[[float], None]) -> None:
        """Return once all work is in the store; `tick` gets parts of its cost, and 0 now and then while it waits."""


class ThisProcess:
    """One piece of work after the other in this process, from its share on, and those last that other runs are at."""

    def __init__(self, tracing: Tracing, share: Share = WHOLE) -> None:
        self._tracing = tracing
        self._share = share
        self._waiting = Waiting()

    def carry_out(self, work: Sequence[Work], tick: Callable[[float], None]) -> None:
        """Return once all work is in the store, whichever run has done it; `tick` gets parts of its cost."""
        left = self._share.in_order(work)
        while left:
            elsewhere = [piece for piece in left if not self._carry_out(piece, tick)]
            if len(elsewhere) == len(left):
                self._waiting.wait(sum(len(piece.lamps) for piece in elsewhere))
                tick(0.0)
            left = elsewhere

    def _carry_out(self, piece: Work, tick: Callable[[float], None]) -> bool:
        """Carry out a piece of work, or return False where another run is at it."""
        taken = lease(self._tracing.store.folder, f"work-{piece.key}")
        if taken is None:
            return False

        def go_on(cost: float) -> None:
            taken.beat()
            tick(cost)

        try:
            carry_out(piece, self._tracing, go_on)
        finally:
            taken.release()
        return True
