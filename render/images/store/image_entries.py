"""Lamp images in the store: finished ones sealed under one key, the sums of those that are traced under another.

A sealed image stays while it is gone on from: its sums are stored beside it, and say how many passes it has. They are
of use as long as it is there with just so many.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera, Geometry
from render.images.bands import BAND_COUNT, PLANE_COUNT
from render.images.passes.pass_sums import PassSums
from render.images.passes.sealing import SealedImage, tiles
from scenes.lamps.emitter_shape import EmitterShape

from .container import ArraySpec
from .descriptions import Descriptions
from .keys import result_key
from .store import Store

INTEGER = ArraySpec("int64", ())
SEALED_COUNTS = {"passes": INTEGER, "group": INTEGER}
SUMS_COUNTS = {"even_passes": INTEGER, "odd_passes": INTEGER, "group": INTEGER, "earlier_passes": INTEGER}


class Progress(NamedTuple):
    """How many passes of a lamp image are in the store, and its group."""

    passes: int
    group: int


class ImageEntries:
    """The lamp images of a store."""

    def __init__(self, store: Store, descriptions: Descriptions) -> None:
        self.store = store
        self.descriptions = descriptions

    def progress(self, geometry: Geometry, lamp: EmitterShape) -> Progress | None:
        """Return how far a lamp's image is, without reading it; None if there is nothing of it."""
        sealed = self.store.load(image_key(geometry, lamp), SEALED_COUNTS)
        passes = int(sealed["passes"]) if sealed else 0
        sums = self.store.load(_sums_key(geometry, lamp), SUMS_COUNTS)
        if sums and int(sums["earlier_passes"]) in {0, passes}:
            traced = int(sums["earlier_passes"] + sums["even_passes"] + sums["odd_passes"])
            if traced > passes:
                return Progress(traced, int(sums["group"]))
        return Progress(passes, int(sealed["group"])) if sealed else None

    def sealed_passes(self, geometry: Geometry, lamp: EmitterShape) -> int:
        """Return the number of passes of a lamp's finished image, without reading it; 0 if there is none."""
        sealed = self.store.load(image_key(geometry, lamp), SEALED_COUNTS)
        return int(sealed["passes"]) if sealed else 0

    def load_sealed(self, geometry: Geometry, lamp: EmitterShape) -> SealedImage | None:
        """Return a lamp's finished image, of however many passes it is."""
        stored = self.store.load(image_key(geometry, lamp), _sealed_specs(geometry.camera))
        if stored is None:
            return None
        passes, group = (int(stored.pop(name)) for name in SEALED_COUNTS)
        return SealedImage(**stored, passes=passes, group=group)

    def load_finished(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> SealedImage | None:
        """Return a lamp's finished image of `passes` passes or more; None without one, or where it is damaged."""
        if self.sealed_passes(geometry, lamp) < passes:
            return None
        image = self.load_sealed(geometry, lamp)
        return image if image is not None and image.passes >= passes else None

    def load_sums(self, geometry: Geometry, lamp: EmitterShape, group: int) -> PassSums:
        """Return a lamp's sums to go on from: those stored, or those of no pass upon what is sealed or upon nothing.

        `group` is that of an image of which there is nothing.
        """
        sealed, key = self.load_sealed(geometry, lamp), _sums_key(geometry, lamp)
        nothing = PassSums.empty(geometry.camera, group, sealed)
        stored = self.store.load(key, SUMS_COUNTS)
        if stored is None or int(stored["earlier_passes"]) not in {0, nothing.passes}:
            return nothing
        earlier = sealed if int(stored["earlier_passes"]) else None
        traced = int(stored["even_passes"] + stored["odd_passes"])
        if (earlier.passes if earlier else 0) + traced <= nothing.passes:
            return nothing
        stored = self.store.load(key, _sums_specs(geometry.camera))
        if stored is None:
            return nothing
        even, odd, group = (int(stored[name]) for name in ("even_passes", "odd_passes", "group"))
        return PassSums(stored["even"], stored["odd"], even, odd, group, earlier)

    def save_sealed(self, geometry: Geometry, lamp: EmitterShape, image: SealedImage) -> None:
        """Store a finished image in place of its sums, which stay where it cannot be written."""
        description = self.descriptions.of(geometry, lamp, image.passes)
        if self.store.save(image_key(geometry, lamp), description, **_arrays(vars(image))):
            self.store.discard(_sums_key(geometry, lamp))

    def save_sums(self, geometry: Geometry, lamp: EmitterShape, image: PassSums) -> bool:
        """Store sums beside the sealed image that they go on from, and return whether they are on disk."""
        arrays = {name: value for name, value in vars(image).items() if name != "earlier"}
        description = self.descriptions.of(geometry, lamp, image.passes)
        key = _sums_key(geometry, lamp)
        is_kept = self.store.save(key, description, **_arrays({**arrays, "earlier_passes": image.earlier_passes}))
        if not is_kept:
            self.store.forget(key)  # these are in memory as long as they are traced, and large
        return is_kept

    def discard_sums(self, geometry: Geometry, lamp: EmitterShape, earlier_passes: int) -> None:
        """Remove the sums of a lamp, if those that are stored go on from an image of so many passes."""
        stored = self.store.load(_sums_key(geometry, lamp), SUMS_COUNTS)
        if stored is not None and int(stored["earlier_passes"]) == earlier_passes:
            self.store.discard(_sums_key(geometry, lamp))


def image_key(geometry: Geometry, lamp: EmitterShape) -> str:
    """Return the key of a lamp's finished image."""
    return result_key("image", geometry, lamp)


def _sums_key(geometry: Geometry, lamp: EmitterShape) -> str:
    return result_key("passes", geometry, lamp)


def _arrays(values: dict[str, Any]) -> dict[str, NDArray[Any]]:
    return {name: np.asarray(value) for name, value in values.items()}


def _sealed_specs(camera: Camera) -> dict[str, ArraySpec]:
    share = ArraySpec("uint8", (camera.height, camera.width))
    return {
        "bands": ArraySpec("float16", (BAND_COUNT, camera.height, camera.width)),
        "scales": ArraySpec("float32", (BAND_COUNT,)),
        "specular_share": share,
        "indirect_share": share,
        "error": ArraySpec("uint8", (tiles(camera.height), tiles(camera.width))),
        **SEALED_COUNTS,
    }


def _sums_specs(camera: Camera) -> dict[str, ArraySpec]:
    half = ArraySpec("float32", (PLANE_COUNT, camera.height, camera.width))
    return {"even": half, "odd": half, **SUMS_COUNTS}
