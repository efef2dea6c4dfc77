"""Work carried out by the workers of a Dask cluster, which orders it, and gives that of dead workers to others."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import Any, Final

from gallery.sheet.request import Request, made_from
from gallery.terminal import print_note
from render.allocation.work import Work
from render.images.image_tracing import TraceStatistics
from render.images.store.image_entries import image_key
from render.images.store.keys import provenance_facts
from render.shot import Shot

from .cluster import Cluster
from .remote_work import ROOT, Piece, carry_out_piece
from .surroundings import Surroundings, UnfitWorkerError

LOOKING_S: Final = 5.0
"""Between two signs of life, and two looks whether time is over."""
RETRIES: Final = 2
"""Of a piece of work that fails, as where a card's memory was full for once."""


class DaskWorkers:
    """The workers of a cluster, for one sheet.

    Parameters
    ----------
    shots
        Those of the sheet's frames.
    statistics
        Of what is traced; what the workers trace is noted in it.
    """

    def __init__(
        self, cluster: Cluster, request: Request, shots: Sequence[Shot], statistics: TraceStatistics
    ) -> None:  # fmt: skip
        self._cluster = cluster
        self._statistics = statistics
        self._sheet = json.dumps(made_from(request, ROOT, shots))
        self._surroundings = Surroundings(marker=cluster.marker.name, provenance=provenance_facts())

    def carry_out(self, work: Sequence[Work], tick: Callable[[float], None]) -> None:
        """Return once all work is in the store; `tick` gets the cost of each piece when it is done, and 0 meanwhile.

        Raises
        ------
        RuntimeError
            If a piece of work fails, or no worker is fit for it.
        """
        from distributed import CancelledError, wait

        self._cluster.marker.renew()
        pending = {self._submit(piece): piece for piece in work}
        try:
            while pending:
                self._cluster.marker.renew()
                tick(0.0)
                try:
                    done = wait(list(pending), timeout=LOOKING_S, return_when="FIRST_COMPLETED").done
                except TimeoutError:
                    continue
                except CancelledError:
                    raise RuntimeError(
                        "the connection to the cluster is lost; the same command goes on from what is stored"
                    ) from None
                for future in done:
                    piece = pending.pop(future)
                    if self._is_done(future):
                        self._statistics.geometries.add(piece.geometry.fingerprint)
                        self._statistics.traced.update(image_key(piece.geometry, lamp) for lamp in piece.lamps)
                        tick(piece.cost)
                    else:
                        pending[self._submit(piece)] = piece
        finally:
            self._cluster.client.cancel(list(pending))

    def _submit(self, piece: Work) -> Any:
        """Return the future of a piece of work."""
        keys = Piece(
            geometry=piece.geometry.fingerprint, lamps=[lamp.fingerprint for lamp in piece.lamps],
            passes=piece.passes, cost=piece.cost,
        )  # fmt: skip
        workers = self._cluster.fit_workers() if self._cluster.unfit else None
        return self._cluster.client.submit(
            carry_out_piece, self._sheet, keys, self._surroundings, self._cluster.threads,
            workers=workers, allow_other_workers=workers is not None, retries=RETRIES, pure=False,
        )  # fmt: skip

    def _is_done(self, future: Any) -> bool:
        """Return whether a piece of work is done; False where its worker is unfit, and another has to do it."""
        if future.status == "finished":
            return True
        error = future.exception()
        if not isinstance(error, UnfitWorkerError):
            raise RuntimeError(f"a worker of the cluster has failed: {error}") from error
        is_new = error.address not in self._cluster.unfit
        self._cluster.unfit.add(error.address)
        if not self._cluster.fit_workers():
            raise error
        if is_new:
            print_note(f"spruelight: {error}; others do its work")
        return False
