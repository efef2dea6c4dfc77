"""What a picture needs from the kernel, taken from the store where it was traced before."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .description import Geometry, Lamp, Meter, fingerprint
from .lamp_images import LampImage
from .store import Store

if TYPE_CHECKING:
    from .kernel.features import Features
    from .kernel.trace import Tracer

SAVE_EVERY_S = 20.0
HERO_SAMPLES = 2**16


class Tracing:
    """Gives lamp images, features and irradiance of geometries; renders only what the store lacks.

    The kernel is imported on the first need, so that relighting what is stored never starts it.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self.traced_passes = 0
        self._tracer: Tracer | None = None

    def image(self, geometry: Geometry, lamp: Lamp, passes: int, tick: Callable[[], None] = lambda: None) -> LampImage:
        """Return a lamp's image of `passes` passes or more, tracing the ones that are missing.

        `tick` is called after each pass. A killed run keeps what was saved, every 20 seconds.
        """
        key = _key("image", geometry, lamp)
        image = self._stored_image(key)
        saved_at, saved = time.monotonic(), image.passes if image else 0
        for number in range(saved, passes):
            traced = self._open(geometry).images([lamp], number)[0]
            image = image.with_pass(traced) if image else LampImage.from_pass(traced)
            self.traced_passes += 1
            tick()
            if time.monotonic() - saved_at > SAVE_EVERY_S:
                self._save_image(key, image)
                saved_at, saved = time.monotonic(), image.passes
        if image is None:
            raise ValueError("a lamp image takes one pass or more")
        if image.passes > saved:
            self._save_image(key, image)
        return image

    def passes_missing(self, geometry: Geometry, lamp: Lamp, passes: int) -> int:
        """Return how many of `passes` are not in the store."""
        stored = self.store.load(_key("image", geometry, lamp), only=("passes",))
        return max(0, passes - (int(stored["passes"]) if stored else 0))

    def features(self, geometry: Geometry) -> Features:
        """Return what the camera sees of a geometry before any light."""
        from .kernel.features import Features, see

        key = _key("features", geometry)
        stored = self.store.load(key)
        if stored is not None:
            return Features(**stored)
        features = see(self._open(geometry))
        self.store.save(key, **vars(features))
        return features

    def irradiance(
        self, geometry: Geometry, lamp: Lamp, meters: Sequence[Meter], samples: int = HERO_SAMPLES
    ) -> NDArray[np.float64]:
        """Return what `kernel.points.irradiance` does: (batches, 2, meters, bands)."""
        key = _key(f"irradiance-{samples}", geometry, lamp, tuple(meters))
        stored = self.store.load(key)
        if stored is not None:
            return stored["irradiance"]
        from .kernel.points import irradiance

        measured = irradiance(self._open(geometry), lamp, meters, samples)
        self.store.save(key, irradiance=measured)
        return measured

    def _open(self, geometry: Geometry) -> Tracer:
        from .kernel.trace import Tracer

        if self._tracer is None or self._tracer.geometry.fingerprint != geometry.fingerprint:
            self._tracer = None  # let go of the last one's memory first
            self._tracer = Tracer(geometry)
        return self._tracer

    def _stored_image(self, key: str) -> LampImage | None:
        stored = self.store.load(key)
        return LampImage(stored["halves"], int(stored["passes"])) if stored else None

    def _save_image(self, key: str, image: LampImage) -> None:
        self.store.save(key, halves=image.halves, passes=np.array(image.passes))


def _key(what: str, *depicted: object) -> str:
    from .kernel import KERNEL_VERSION

    return f"{what}-{fingerprint((KERNEL_VERSION, *(_hashed(d) for d in depicted)))}"


def _hashed(depicted: object) -> object:
    return depicted.fingerprint if isinstance(depicted, Geometry) else depicted  # hash the meshes once
