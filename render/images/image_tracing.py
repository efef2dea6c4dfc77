"""Lamp images brought to a number of passes: found in the store, traced, or waited for while another run traces."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING

from render.description.scene import Camera, Geometry
from scenes.lamps.emitter_shape import EmitterShape

from .pass_sums import sums_bytes
from .sealing import SealedImage, seal
from .store.image_entries import ImageEntries, Progress, image_key
from .store.leases import Lease, lease
from .unfinished import UnfinishedImages
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
        """Return whether an image of `passes` passes or more is stored; it is then in memory too."""
        progress = self.entries.progress(geometry, lamp)
        if progress is None or progress.passes < passes:
            return False
        image = self.entries.load_sealed(geometry, lamp)
        if image is None or image.passes < passes:  # one on its way to more is good enough here
            sums = self.entries.load_sums(geometry, lamp, progress.group)
            image = seal(sums) if sums.passes >= passes else None
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

        tracer = self._tracer_of(geometry)
        images = {lamp: self.entries.load_sums(geometry, lamp, group) for lamp, group in groups.items()}
        self.unfinished = UnfinishedImages(self.entries, geometry, images)
        try:
            self.unfinished.trace(tracer, passes, added)
            for lamp, image in self.unfinished.seal():
                self.finished[image_key(geometry, lamp)] = image
                self.statistics.traced.add(image_key(geometry, lamp))
        except BaseException:
            self.unfinished.save_interrupted()
            raise
        self.unfinished = None
        self.statistics.geometries.add(geometry.fingerprint)

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
