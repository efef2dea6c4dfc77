"""Lamp images brought to a number of passes: found in the store, traced, or waited for while another run traces."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING

from render.description.scene import Camera, Geometry
from scenes.lamps.emitter_shape import EmitterShape

from .passes.pass_sums import PassSums, sums_bytes
from .passes.rungs import rungs_to
from .passes.sealing import SealedImage
from .passes.unfinished import UnfinishedImages
from .store.image_entries import ImageEntries, Progress, image_key
from .store.leases import Lease, lease
from .waiting import Waiting

if TYPE_CHECKING:
    from render.kernel.trace import Tracer

TRACE_BYTES = 3 * 2**29
"""Memory for the sums of the lamps that share a trace, and for the result of a pass."""


@dataclass
class TraceStatistics:
    """What was done: fingerprints of the geometries that were traced, and keys of lamp images.

    `traced` are finished; `reused` were in the store, or another run has traced them meanwhile.
    """

    geometries: set[str] = field(default_factory=set)
    traced: set[str] = field(default_factory=set)
    reused: set[str] = field(default_factory=set)


class ImageTracing:
    """The lamp images of one call at a time, finished ones in memory.

    Parameters
    ----------
    tracer_of
        Returns the tracer of a geometry.
    """

    def __init__(self, entries: ImageEntries, tracer_of: Callable[[Geometry], Tracer]) -> None:
        self.entries = entries
        self.statistics = TraceStatistics()
        self.finished: dict[str, SealedImage] = {}
        self.unfinished: UnfinishedImages | None = None
        self._tracer_of = tracer_of
        self._waiting = Waiting()

    def trace(
        self, geometry: Geometry, groups: Mapping[EmitterShape, int], passes: int, tick: Callable[[int], None]
    ) -> None:
        """Bring the image of every lamp to `passes` passes or more; see `Tracing.trace`."""
        self.finished = {}
        before = {lamp: self.entries.progress(geometry, lamp) or Progress(0, group) for lamp, group in groups.items()}
        missing = [lamp for lamp in groups if not self.find(geometry, lamp, passes)]
        while missing:
            elsewhere: list[EmitterShape] = []
            for lamps in _batches(missing, before, geometry.camera):
                with self._leased(geometry, lamps) as leases:
                    elsewhere += [lamp for lamp in lamps if lamp not in leases]
                    self._trace_leased(geometry, {lamp: before[lamp] for lamp in leases}, leases, passes, tick)
            missing = elsewhere
            if missing:
                self._waiting.wait(len(missing))

    def find(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> bool:
        """Return whether a finished image of `passes` passes or more is stored; it is then in memory too."""
        image = self.entries.load_finished(geometry, lamp, passes)
        if image is None:
            return False
        key = image_key(geometry, lamp)
        self.finished[key] = image
        self.statistics.reused.add(key)
        return True

    def _trace_leased(
        self, geometry: Geometry, before: Mapping[EmitterShape, Progress], leases: Mapping[EmitterShape, Lease],
        passes: int, tick: Callable[[int], None],
    ) -> None:  # fmt: skip
        """Trace what is missing of leased images; others may have got on with them since `before`."""
        now = {lamp: self.entries.progress(geometry, lamp) or Progress(0, before[lamp].group) for lamp in before}
        tick(sum(max(0, min(now[lamp].passes, passes) - before[lamp].passes) for lamp in before))
        groups = {lamp: now[lamp].group for lamp in before if not self.find(geometry, lamp, passes)}
        if not groups:
            return

        def added(count: int) -> None:
            for taken in leases.values():
                taken.beat()
            tick(count)

        images = {lamp: self.entries.load_sums(geometry, lamp, group) for lamp, group in groups.items()}
        for rung in rungs_to(min(image.earlier_passes for image in images.values()), passes):
            behind = {lamp: image for lamp, image in images.items() if image.earlier_passes < rung}
            for lamp, image in self._trace_rung(geometry, behind, rung, added):
                self.finished[image_key(geometry, lamp)] = image
                images[lamp] = PassSums.empty(geometry.camera, image.group, image)
        self.statistics.traced.update(image_key(geometry, lamp) for lamp in images)
        self.statistics.geometries.add(geometry.fingerprint)

    def _trace_rung(
        self, geometry: Geometry, images: dict[EmitterShape, PassSums], passes: int, tick: Callable[[int], None]
    ) -> list[tuple[EmitterShape, SealedImage]]:
        """Bring leased images to a rung, and return them sealed; what an exception leaves of them is saved."""
        self.unfinished = UnfinishedImages(self.entries, geometry, images)
        try:
            self.unfinished.trace(self._tracer_of(geometry), passes, tick)
            sealed = list(self.unfinished.seal())
        except BaseException:
            self.unfinished.save_interrupted()
            raise
        self.unfinished = None
        return sealed

    @contextmanager
    def _leased(self, geometry: Geometry, lamps: Sequence[EmitterShape]) -> Iterator[dict[EmitterShape, Lease]]:
        """Yield the leases on the images of lamps but those that another run has, and release them at the end."""
        leases: dict[EmitterShape, Lease] = {}
        try:
            for lamp in lamps:
                taken = lease(self.entries.store.folder, image_key(geometry, lamp))
                if taken is not None:
                    leases[lamp] = taken
            yield leases
        finally:
            for taken in leases.values():
                taken.release()


def _batches(
    lamps: Sequence[EmitterShape], progress: Mapping[EmitterShape, Progress], camera: Camera
) -> Iterator[list[EmitterShape]]:
    """Yield the lamps that are traced together: of one group, with equally many passes, as many as memory allows."""

    def group_and_passes(lamp: EmitterShape) -> tuple[int, int]:
        return progress[lamp].group, progress[lamp].passes

    limit = max(1, TRACE_BYTES // (2 * sums_bytes(camera)))
    for _, together in groupby(sorted(lamps, key=group_and_passes), key=group_and_passes):
        alike = list(together)
        for first in range(0, len(alike), limit):
            yield alike[first : first + limit]
