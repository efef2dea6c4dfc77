"""What a picture needs from the kernel, taken from the store where it was traced before."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera, Geometry, Meter
from scenes.lamps.emitter_shape import EmitterShape

from .bands import BAND_COUNT
from .container import Form
from .keys import result_key
from .lamp_images import LampImage
from .store import Store

if TYPE_CHECKING:
    from render.kernel.features import Features
    from render.kernel.trace import Tracer

SAVE_EVERY_S = 20.0
HERO_SAMPLES = 2**16
COUNTS = {"passes": Form("int64", ()), "group": Form("int64", ())}
TRACED_AT_ONCE_BYTES = 3 * 2**29  # of sums and of a pass's result, for the lamps that share a trace


@dataclass
class Tally:
    """What was traced and what was found in the store, by the hash of what it depicts."""

    geometries: set[str] = field(default_factory=set)
    traced: set[str] = field(default_factory=set)
    reused: set[str] = field(default_factory=set)


class Tracing:
    """Gives lamp images, features and irradiance of geometries; renders only what the store lacks.

    The kernel is imported on the first need, so that relighting what is stored never starts it.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self.tally = Tally()
        self._tracer: Tracer | None = None
        self._held: dict[str, LampImage] = {}

    def trace(
        self,
        geometry: Geometry,
        groups: Mapping[EmitterShape, int],
        passes: int,
        tick: Callable[[int], None] = lambda _: None,
    ) -> None:
        """Make sure of `passes` passes or more of each lamp's image, tracing the lamps of a group together.

        The images are held until the next call. `tick` is called with the number of lamps after each pass. A killed
        run keeps what was saved, every 20 seconds.
        """
        stored = {lamp: self._stored_image(geometry, lamp) for lamp in groups}
        held = {result_key("image", geometry, lamp): image for lamp, image in stored.items() if image}
        self._held = held
        self.tally.reused |= {key for key, image in held.items() if image.passes >= passes}
        for lamps in _sets(groups, stored, passes, geometry):
            images = [stored[lamp] or LampImage.empty(geometry.camera, groups[lamp]) for lamp in lamps]
            for key, image in self._add_passes(geometry, lamps, images, passes, tick):
                held[key] = image

    def image(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> LampImage:
        """Return a lamp's image of `passes` passes or more."""
        key = result_key("image", geometry, lamp)
        if key not in self._held or self._held[key].passes < passes:
            self.trace(geometry, {lamp: 0}, passes)
        return self._held[key]

    def passes_stored(self, geometry: Geometry, lamp: EmitterShape) -> tuple[int, int] | None:
        """Return how many passes of a lamp's image are in the store and of which group, or None."""
        stored = self.store.load(result_key("image", geometry, lamp), COUNTS)
        return (int(stored["passes"]), int(stored["group"])) if stored else None

    def features(self, geometry: Geometry) -> Features:
        """Return what the camera sees of a geometry before any light."""
        from render.kernel.features import Features

        key = result_key("features", geometry)
        stored = self.store.load(key, _feature_forms(geometry.camera))
        if stored is not None:
            return Features(**stored)
        features = self._open(geometry).features
        self.store.save(key, **vars(features))
        return features

    def irradiance(
        self, geometry: Geometry, lamps: Sequence[EmitterShape], meters: Sequence[Meter], samples: int = HERO_SAMPLES
    ) -> NDArray[np.float64]:
        """Return what `kernel.meters.irradiance` does: (lamps, batches, 2, meters, bands)."""
        from render.kernel.meters import BATCHES, irradiance

        form = Form("float64", (BATCHES, 2, len(meters), BAND_COUNT))
        keys = [result_key(f"irradiance-{samples}", geometry, lamp, tuple(meters)) for lamp in lamps]
        stored = [self.store.load(key, {"irradiance": form}) for key in keys]
        missing = [i for i, found in enumerate(stored) if found is None]
        if missing:
            measured = irradiance(self._open(geometry), [lamps[i] for i in missing], meters, samples)
            for i, light in zip(missing, measured, strict=True):
                stored[i] = {"irradiance": light}
                self.store.save(keys[i], irradiance=light)
        return np.stack([found["irradiance"] for found in stored if found is not None])

    def _add_passes(
        self,
        geometry: Geometry,
        lamps: Sequence[EmitterShape],
        images: list[LampImage],
        passes: int,
        tick: Callable[[int], None],
    ) -> Iterator[tuple[str, LampImage]]:
        """Trace what is missing of images that have equally many passes, and yield each with its key."""
        keys = [result_key("image", geometry, lamp) for lamp in lamps]
        tracer, saved_at = self._open(geometry), time.monotonic()
        first = images[0].passes
        while first < passes:
            end = min(first + tracer.workload.passes, passes)
            for start in range(first, min(first + 2, end)):  # one half, then the other
                count = len(range(start, end, 2))
                traced = tracer.images(lamps, start, images[0].group, count)
                for i, new in enumerate(traced):  # each lets go of what it grew from
                    images[i] = images[i].with_passes(start, new, count)
                tick(len(lamps) * count)
            first = end
            if time.monotonic() - saved_at > SAVE_EVERY_S or first == passes:
                for key, image in zip(keys, images, strict=True):
                    self._save_image(key, image)
                saved_at = time.monotonic()
        self.tally.geometries.add(geometry.fingerprint)
        self.tally.traced |= set(keys)
        yield from zip(keys, images, strict=True)

    def _open(self, geometry: Geometry) -> Tracer:
        from render.kernel.trace import Tracer

        if self._tracer is None or self._tracer.geometry.fingerprint != geometry.fingerprint:
            scene = self._tracer.scene if self._tracer else None
            if scene is not None and scene.mesh_fingerprint != geometry.mesh_fingerprint:
                scene = None
            self._tracer = None  # let go of the last one's memory first
            self._tracer = Tracer(geometry, scene)
        return self._tracer

    def _stored_image(self, geometry: Geometry, lamp: EmitterShape) -> LampImage | None:
        stored = self.store.load(result_key("image", geometry, lamp), _image_forms(geometry.camera))
        if stored is None:
            return None
        return LampImage(stored["even"], stored["odd"], int(stored["passes"]), int(stored["group"]))

    def _save_image(self, key: str, image: LampImage) -> None:
        self.store.save(key, **{name: np.asarray(value) for name, value in vars(image).items()})


def lamp_image_bytes(geometry: Geometry) -> int:
    """Return what a lamp's image takes in memory."""
    return 2 * 4 * BAND_COUNT * geometry.camera.width * geometry.camera.height


def _image_forms(camera: Camera) -> dict[str, Form]:
    half = Form("float32", (BAND_COUNT, camera.height, camera.width))
    return {"even": half, "odd": half, **COUNTS}


def _feature_forms(camera: Camera) -> dict[str, Form]:
    size = (camera.height, camera.width)
    vectors, numbers = Form("float32", (*size, 3)), Form("float32", size)
    return {"albedo": vectors, "normal": vectors, "depth": numbers, "subject": numbers, "backdrop": numbers}


def _sets(
    groups: Mapping[EmitterShape, int], stored: Mapping[EmitterShape, LampImage | None], passes: int, geometry: Geometry
) -> Iterator[list[EmitterShape]]:
    """Yield the lamps that can be traced together: of one group, as far along, and not too many for the memory."""

    def stand(lamp: EmitterShape) -> tuple[int, int]:
        image = stored[lamp]
        return (image.group, image.passes) if image else (groups[lamp], 0)

    most = max(1, TRACED_AT_ONCE_BYTES // (2 * lamp_image_bytes(geometry)))
    missing = sorted((lamp for lamp in groups if stand(lamp)[1] < passes), key=stand)
    for _, alike in groupby(missing, key=stand):
        lamps = list(alike)
        for first in range(0, len(lamps), most):
            yield lamps[first : first + most]
