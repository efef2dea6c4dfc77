"""Lamp images, features and irradiance of geometries: read from the store, or traced and stored."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby, product
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera, Geometry, Meter
from scenes.lamps.emitter_shape import EmitterShape

from .bands import BAND_COUNT, PLANE_COUNT
from .container import ArraySpec
from .entries import Description
from .keys import result_key
from .lamp_images import LampImage
from .store import Store

if TYPE_CHECKING:
    from render.kernel.features import Features
    from render.kernel.trace import Tracer
    from render.shot import Shot

SAVE_INTERVAL_S = 20.0
RECEPTOR_SAMPLES = 2**14
COUNTS = {"passes": ArraySpec("int64", ()), "group": ArraySpec("int64", ())}
TRACE_BYTES = 3 * 2**29
"""Memory for the sums of the lamps that share a trace, and for the result of a pass."""


@dataclass
class TraceStatistics:
    """Fingerprints of the geometries that were traced, and keys of the lamp images traced and found in the store."""

    geometries: set[str] = field(default_factory=set)
    traced: set[str] = field(default_factory=set)
    reused: set[str] = field(default_factory=set)


class Tracing:
    """Lamp images, features and irradiance of geometries; traces only what is not in the store.

    The kernel is imported when it is first needed, so that relighting stored images never starts it.
    """

    def __init__(self, store: Store) -> None:
        self.store = store
        self.statistics = TraceStatistics()
        self.unsaved_since: float | None = None
        """Since when passes are traced that are not saved, by `time.monotonic`; None where all are saved."""
        self._tracer: Tracer | None = None
        self._images: dict[str, LampImage] = {}
        self._small: dict[str, dict[str, NDArray[Any]]] = {}
        self._setups: dict[tuple[str, EmitterShape | None], dict[str, None]] = {}

    def name_setups(self, shots: Sequence[Shot]) -> None:
        """Note which setups need which geometry and lamp: entries of the store are described so."""
        for shot in shots:
            for geometry in (shot.geometry, shot.bare_geometry):
                for lamp in (None, *shot.emitter_shapes):
                    self._setups.setdefault((geometry.fingerprint, lamp), {})[shot.setup.name] = None

    def description(
        self, geometry: Geometry, lamp: EmitterShape | None = None, passes: int | None = None
    ) -> Description:
        """Return what the entry of an image of a geometry is for."""
        setups = tuple(self._setups.get((geometry.fingerprint, lamp), ()))
        return Description(setups, (geometry.camera.width, geometry.camera.height), passes)

    def trace(
        self,
        geometry: Geometry,
        groups: Mapping[EmitterShape, int],
        passes: int,
        tick: Callable[[int], None] = lambda _: None,
    ) -> None:
        """Bring each lamp's image to at least `passes` passes, tracing the lamps of a group together.

        The images stay in memory until the next call, and are saved every 20 seconds. `tick` is called with the number
        of lamps after each pass.
        """
        stored = {lamp: self._stored_image(geometry, lamp) for lamp in groups}
        self._images = {result_key("image", geometry, lamp): image for lamp, image in stored.items() if image}
        self.statistics.reused |= {key for key, image in self._images.items() if image.passes >= passes}
        for lamps in _trace_batches(groups, stored, passes, geometry):
            keys = [result_key("image", geometry, lamp) for lamp in lamps]
            images = [stored[lamp] or LampImage.empty(geometry.camera, groups[lamp]) for lamp in lamps]
            self._add_passes(geometry, lamps, images, passes, tick)
            self._images |= zip(keys, images, strict=True)
            self.statistics.geometries.add(geometry.fingerprint)
            self.statistics.traced |= set(keys)

    def image(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> LampImage:
        """Return a lamp's image of at least `passes` passes."""
        key = result_key("image", geometry, lamp)
        if key not in self._images or self._images[key].passes < passes:
            self.trace(geometry, {lamp: 0}, passes)
        return self._images[key]

    def stored_passes(self, geometry: Geometry, lamp: EmitterShape) -> tuple[int, int] | None:
        """Return the number of passes of a lamp's image in the store and its group; None without one."""
        stored = self.store.load(result_key("image", geometry, lamp), COUNTS)
        return (int(stored["passes"]), int(stored["group"])) if stored else None

    def features(self, geometry: Geometry) -> Features:
        """Return the feature images of a geometry: what its camera sees without any light."""
        from render.kernel.features import Features

        key = result_key("features", geometry)
        stored = self.store.load(key, _feature_specs(geometry.camera))
        if stored is not None:
            return Features(**stored)
        features = self._tracer_of(geometry).features
        self.store.save(key, self.description(geometry), **vars(features))
        return features

    def irradiance(
        self,
        geometry: Geometry,
        lamps: Sequence[EmitterShape],
        meters: Sequence[Meter],
        samples: int = RECEPTOR_SAMPLES,
    ) -> NDArray[np.float64]:
        """Return the result of `kernel.meters.irradiance`, (lamps, batches, 2, meters, bands).

        Each lamp at each meter is stored by itself: in whatever company it was measured, it is not traced again.
        """
        from render.kernel.meters import BATCHES, irradiance

        spec = ArraySpec("float64", (BATCHES, 2, BAND_COUNT))
        measured = np.zeros((len(lamps), BATCHES, 2, len(meters), BAND_COUNT))
        missing = np.zeros((len(lamps), len(meters)), bool)
        keys = [[result_key(f"meter-{samples}", geometry, lamp, meter) for meter in meters] for lamp in lamps]
        for i, j in np.ndindex(missing.shape):
            stored = self._load_small(keys[i][j], {"irradiance": spec})
            missing[i, j] = stored is None
            if stored is not None:
                measured[i, :, :, j] = stored["irradiance"]
        if missing.any():
            rows = sorted(np.flatnonzero(missing.any(axis=1)).tolist(), key=lambda i: lamps[i].kind)  # fewer programs
            columns = np.flatnonzero(missing.any(axis=0)).tolist()
            traced = irradiance(
                self._tracer_of(geometry), [lamps[i] for i in rows], [meters[j] for j in columns], samples
            )
            for (row, i), (column, j) in product(enumerate(rows), enumerate(columns)):
                measured[i, :, :, j] = traced[row, :, :, column]
                if missing[i, j]:
                    description = replace(self.description(geometry, lamps[i]), pixels=None)
                    self._save_small(keys[i][j], description, irradiance=measured[i, :, :, j].copy())
        return measured

    def small_images(self, geometry: Geometry, lamps: Sequence[EmitterShape], passes: int) -> NDArray[np.float64]:
        """Return the mean of a number of passes of each lamp's image, (lamps, bands, height, width).

        For small films: all passes are traced at once, and no lamp image that is in memory is given up for them.
        """
        size = (BAND_COUNT, geometry.camera.height, geometry.camera.width)
        keys = [result_key(f"small-{passes}", geometry, lamp) for lamp in lamps]
        stored = [self._load_small(key, {"image": ArraySpec("float32", size)}) for key in keys]
        missing = [i for i, arrays in enumerate(stored) if arrays is None]
        if missing:
            traced = self._tracer_of(geometry).images([lamps[i] for i in missing], 0, 0, passes) / np.float32(passes)
            for i, image in zip(missing, traced, strict=True):
                stored[i] = {"image": image}
                self._save_small(keys[i], self.description(geometry, lamps[i], passes), image=image)
        return np.stack([arrays["image"] for arrays in stored if arrays is not None]).astype(np.float64)

    def _load_small(self, key: str, specs: Mapping[str, ArraySpec]) -> dict[str, NDArray[Any]] | None:
        """Return small arrays from memory or from the store; None where they are in neither."""
        if key not in self._small and (stored := self.store.load(key, specs)) is not None:
            self._small[key] = stored
        return self._small.get(key)

    def _save_small(self, key: str, description: Description, /, **arrays: NDArray[Any]) -> None:
        """Keep small arrays in memory and in the store."""
        self._small[key] = arrays
        self.store.save(key, description, **arrays)

    def _add_passes(
        self,
        geometry: Geometry,
        lamps: Sequence[EmitterShape],
        images: list[LampImage],
        passes: int,
        tick: Callable[[int], None],
    ) -> None:
        """Replace `images`, which have equally many passes, by images of `passes` passes, and save them."""
        tracer = self._tracer_of(geometry)
        first = images[0].passes
        while first < passes:
            end = min(first + tracer.workload.passes, passes)
            self.unsaved_since = self.unsaved_since or time.monotonic()
            for start in range(first, min(first + 2, end)):  # one half, then the other
                count = len(range(start, end, 2))
                traced = tracer.planes(lamps, start, images[0].group, count)
                for i, new in enumerate(traced):  # one by one, so that each old image is freed
                    images[i] = images[i].with_passes(start, new, count)
                tick(len(lamps) * count)
            first = end
            if time.monotonic() - self.unsaved_since > SAVE_INTERVAL_S or first == passes:
                for lamp, image in zip(lamps, images, strict=True):
                    self._save_image(geometry, lamp, image)
                self.unsaved_since = None

    def _tracer_of(self, geometry: Geometry) -> Tracer:
        """Return the tracer of a geometry; the last one's mesh is used again if the triangles are the same."""
        from render.kernel.trace import Tracer

        if self._tracer is None or self._tracer.geometry.fingerprint != geometry.fingerprint:
            scene = self._tracer.scene if self._tracer else None
            if scene is not None and scene.mesh_fingerprint != geometry.mesh_fingerprint:
                scene = None
            self._tracer = None  # frees its memory before the next one is made
            self._tracer = Tracer(geometry, scene)
        return self._tracer

    def _stored_image(self, geometry: Geometry, lamp: EmitterShape) -> LampImage | None:
        stored = self.store.load(result_key("image", geometry, lamp), _image_specs(geometry.camera))
        if stored is None:
            return None
        return LampImage(stored["even"], stored["odd"], int(stored["passes"]), int(stored["group"]))

    def _save_image(self, geometry: Geometry, lamp: EmitterShape, image: LampImage) -> None:
        arrays = {name: np.asarray(value) for name, value in vars(image).items()}
        key = result_key("image", geometry, lamp)
        self.store.save(key, self.description(geometry, lamp, image.passes), **arrays)


def lamp_image_bytes(geometry: Geometry) -> int:
    """Return the memory that a lamp image takes."""
    return 2 * 4 * PLANE_COUNT * geometry.camera.width * geometry.camera.height


def _image_specs(camera: Camera) -> dict[str, ArraySpec]:
    half = ArraySpec("float32", (PLANE_COUNT, camera.height, camera.width))
    return {"even": half, "odd": half, **COUNTS}


def _feature_specs(camera: Camera) -> dict[str, ArraySpec]:
    size = (camera.height, camera.width)
    vectors, scalars = ArraySpec("float32", (*size, 3)), ArraySpec("float32", size)
    return {
        "albedo": vectors,
        "normal": vectors,
        "depth": scalars,
        "subject": scalars,
        "backdrop": scalars,
        "body_depth": scalars,
    }


def _trace_batches(
    groups: Mapping[EmitterShape, int], stored: Mapping[EmitterShape, LampImage | None], passes: int, geometry: Geometry
) -> Iterator[list[EmitterShape]]:
    """Yield the lamps that are traced together: of one group, with equally many passes, as many as memory allows."""

    def group_and_passes(lamp: EmitterShape) -> tuple[int, int]:
        image = stored[lamp]
        return (image.group, image.passes) if image else (groups[lamp], 0)

    limit = max(1, TRACE_BYTES // (2 * lamp_image_bytes(geometry)))
    missing = sorted((lamp for lamp in groups if group_and_passes(lamp)[1] < passes), key=group_and_passes)
    for _, together in groupby(missing, key=group_and_passes):
        lamps = list(together)
        for first in range(0, len(lamps), limit):
            yield lamps[first : first + limit]
