"""Work as it travels to a worker of a cluster, and what the worker does with it.

Nothing travels but text and numbers: what the sheet was asked for, with its fingerprint, and a piece of its work by
keys. The worker opens the same files, and finds geometry and lamps by their keys; results go to the shared store.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Final, TypedDict

from gallery.frames.shots import shots_with_room
from gallery.inputs import open_as_guessed
from gallery.sheet.request import MadeFrom, shots_fingerprint
from render.allocation.work import Work, carry_out
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.kernel.backend import limit_threads
from scenes.errors import InputError

from .surroundings import Surroundings, UnfitWorkerError, require_same

SHEETS: Final = 2
"""Opened at once in a worker."""
ROOT: Final = Path("/")
"""From where the files of a sheet that travels are named."""

_one_at_a_time = threading.Lock()


class StoppedError(RuntimeError):
    """The work is not wanted any more."""


class Piece(TypedDict):
    """A piece of work: fingerprints of its geometry and its lamps, passes and cost."""

    geometry: str
    lamps: list[str]
    passes: int
    cost: float


def carry_out_piece(sheet: str, piece: Piece, surroundings: Surroundings, threads: int | None) -> None:
    """Carry out a piece of a sheet's work in a worker; `sheet` is `MadeFrom` as JSON.

    `threads` is the number of the renderer's threads; None means one a core.

    Raises
    ------
    UnfitWorkerError
        If this worker cannot, or what it traces would be of no use.
    StoppedError
        If the work was cancelled; what was traced is saved.
    """
    from distributed import get_worker

    worker = get_worker()
    task = worker.get_current_task()

    def stop_if_cancelled(_: float) -> None:
        known = worker.state.tasks.get(task)
        if known is None or known.state == "cancelled":
            raise StoppedError("cancelled")

    with _one_at_a_time:
        require_same(surroundings, worker.address)
        try:
            opened = open_sheet(sheet)
        except InputError as error:
            raise UnfitWorkerError(worker.address, f"cannot open what the sheet is made of: {error}") from None
        if threads is not None:
            limit_threads(threads)
        opened.carry_out(piece, stop_if_cancelled)


class OpenedSheet:
    """The geometries and lamps of a sheet by their fingerprints, and the way to their images."""

    def __init__(self, sheet: str) -> None:
        asked = MadeFrom.model_validate_json(sheet)
        request = asked.found_from(ROOT)
        arrangement, _ = open_as_guessed(None if request.file is None else Path(request.file), request.sizing)
        shots, _ = shots_with_room(arrangement, request.setups, request.finishes, request.size, request.detail)
        if shots_fingerprint(shots) != asked.fingerprint:
            raise InputError(f"{arrangement.folder.source}: is another file here, or this is another version")
        self._tracing = Tracing(Store(title=arrangement.title))
        self._tracing.descriptions.add(shots)
        self._geometries = {shot.geometry.fingerprint: shot.geometry for shot in shots}
        self._lamps = {lamp.fingerprint: lamp for shot in shots for lamp in shot.emitter_shapes}

    def carry_out(self, piece: Piece, tick: Callable[[float], None]) -> None:
        """Carry out a piece of the sheet's work; `tick` is called while it goes on."""
        lamps = tuple(self._lamps[key] for key in piece["lamps"])
        work = Work(self._geometries[piece["geometry"]], lamps, piece["passes"], piece["cost"])
        carry_out(work, self._tracing, tick)


@lru_cache(SHEETS)
def open_sheet(sheet: str) -> OpenedSheet:
    """Return a sheet opened, `MadeFrom` as JSON; the last ones stay open.

    Raises
    ------
    InputError
        Where its files are not found, or make another sheet.
    """
    return OpenedSheet(sheet)
