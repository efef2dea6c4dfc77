"""Lamp images while they are traced: which passes come next, and how often they are saved."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Final

from render.description.scene import Geometry
from render.images.in_threads import in_threads
from render.images.store.image_entries import ImageEntries
from render.images.store.noise_entries import NoiseEntries
from scenes.lamps.emitter_shape import EmitterShape

from .light_halves import LightHalves
from .pass_sums import PassSums
from .sealing import SealedImage, seal

if TYPE_CHECKING:
    from render.kernel.trace import Tracer

SHORTEST_INTERVAL_S, LONGEST_INTERVAL_S = 20.0, 60.0
"""Between two savings: by what they take, so that it is a twentieth of the time, and at least once a minute."""
WRITING_SHARE: Final = 0.05
QUIET_BYTES = 2**29
"""What an interruption saves without a word: about two seconds' worth."""

_log = logging.getLogger(__name__)


class UnfinishedImages:
    """The images of lamps that are traced together, on their way to a number of passes.

    Parameters
    ----------
    images
        The sums of each lamp; replaced, never changed, so that they can be saved at any moment.
    """

    def __init__(self, entries: ImageEntries, geometry: Geometry, images: dict[EmitterShape, PassSums]) -> None:
        self.images = images
        self._entries = entries
        self._noise = NoiseEntries(entries.store, entries.descriptions)
        self._geometry = geometry
        self.unsaved_since: float | None = None
        """Since when passes are traced that are not saved, by `time.monotonic`; None where all are saved."""
        self._saved = {lamp: image.passes for lamp, image in images.items()}
        self._saved_at = time.monotonic()
        self._launched_at: float | None = None
        self._writing_s = 0.0
        self._saving = threading.RLock()

    def trace(self, tracer: Tracer, passes: int, tick: Callable[[int], None]) -> None:
        """Bring every image to `passes` passes; `tick` is called with the number of passes that each launch added."""
        launch_s = 0.0
        while behind := {lamp: image for lamp, image in self.images.items() if image.passes < passes}:
            self._save_if_due(launch_s)
            steps = {lamp: image.next_passes(passes, tracer.workload.passes) for lamp, image in behind.items()}
            first = min(behind, key=lambda lamp: steps[lamp].start)
            step, group = steps[first], behind[first].group
            lamps = [lamp for lamp, image in behind.items() if (steps[lamp], image.group) == (step, group)]
            self._launched_at = time.monotonic()
            self.unsaved_since = self.unsaved_since or self._launched_at
            traced = tracer.planes(lamps, step.start, group, len(step))
            behind.clear()
            for lamp, new in zip(lamps, traced, strict=True):  # one by one, so that each old image is freed
                self.images[lamp] = self.images[lamp].with_passes(step.start, new, len(step))
            del traced, new
            launch_s, self._launched_at = time.monotonic() - self._launched_at, None
            tick(len(lamps) * len(step))

    def seal(self) -> Iterator[tuple[EmitterShape, SealedImage]]:
        """Yield each image sealed, once it is stored; its sums are given up. Several are sealed at once, in threads."""
        yield from in_threads(iter(list(self.images)), self._seal, len(self.images))

    def _seal(self, lamp: EmitterShape) -> tuple[EmitterShape, SealedImage]:
        """Return a lamp's image sealed and stored, or what a run has stored that took over while this one slept."""
        sums = self.images[lamp]
        image = self._entries.load_finished(self._geometry, lamp, sums.passes)
        if image is None:
            return lamp, self._store_sealed(lamp, sums)
        with self._saving:
            del self.images[lamp]
            self._entries.discard_sums(self._geometry, lamp, sums.earlier_passes)
        return lamp, image

    def _store_sealed(self, lamp: EmitterShape, sums: PassSums) -> SealedImage:
        """Return the sealed image of sums once it is stored, with its halves."""
        image = seal(sums)
        if sums.earlier is not None:
            self._save_halves(lamp, sums, sums.earlier.passes)
        with self._saving:  # no other thread saves the sums once they are given up
            self._entries.save_sealed(self._geometry, lamp, image)
            del self.images[lamp]
        if sums.earlier is not None:
            self._noise.discard_halves(self._geometry, lamp, sums.earlier.passes)
        return image

    def save(self) -> None:
        """Save the sums that have passes which are not saved yet; from any thread."""
        with self._saving:
            started = time.monotonic()
            launched_at = self._launched_at
            are_kept = True
            for lamp, image in list(self.images.items()):
                if image.passes > self._saved[lamp]:
                    if self._entries.save_sums(self._geometry, lamp, image):
                        self._saved[lamp] = image.passes
                    else:
                        are_kept = False
            if are_kept:
                self.unsaved_since = launched_at
            self._saved_at = time.monotonic()
            self._writing_s = self._saved_at - started

    def save_interrupted(self) -> None:
        """Save what there is, and tell if that is going to take longer than a person waits for."""
        unsaved = [image for lamp, image in list(self.images.items()) if image.passes > self._saved[lamp]]
        size = sum(image.even.nbytes + image.odd.nbytes for image in unsaved)
        if size > QUIET_BYTES:
            _log.warning("spruelight: saving %.1f GB of what was traced", size / 1e9)
        self.save()

    def _save_halves(self, lamp: EmitterShape, sums: PassSums, earlier_passes: int) -> None:
        """Store the halves of an image with its new passes; those before stay until it is sealed with them."""
        before = self._noise.load_halves(self._geometry, lamp, earlier_passes)
        halves = (before or LightHalves.empty(self._geometry.camera)).with_sums(sums)
        self._noise.save_halves(self._geometry, lamp, sums.passes, halves)

    def _save_if_due(self, launch_s: float) -> None:
        """Save if the next launch, which takes as long as the last, would end after the interval."""
        interval = max(SHORTEST_INTERVAL_S, min(self._writing_s / WRITING_SHARE, LONGEST_INTERVAL_S))
        if time.monotonic() + launch_s - self._saved_at > interval:
            self.save()
