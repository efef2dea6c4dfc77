"""Feature images in the store: what guides a denoiser or is a share in half-float, distances in single precision."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from render.description.scene import Camera, Geometry

from .container import ArraySpec
from .descriptions import Descriptions
from .keys import result_key
from .store import Store

if TYPE_CHECKING:
    from render.kernel.features import Features


class FeatureEntries:
    """The feature images of a store: 24 bytes a pixel."""

    def __init__(self, store: Store, descriptions: Descriptions) -> None:
        self.store = store
        self.descriptions = descriptions

    def load(self, geometry: Geometry) -> Features | None:
        """Return the stored feature images of a geometry."""
        from render.kernel.features import Features

        stored = self.store.load(result_key("features", geometry), _specs(geometry.camera))
        if stored is None:
            return None
        return Features(**{name: image.astype(np.float32) for name, image in stored.items()})

    def save(self, geometry: Geometry, features: Features) -> Features:
        """Store the feature images of a geometry, and return them as they will be loaded."""
        from render.kernel.features import Features

        specs = _specs(geometry.camera)
        stored = {name: image.astype(specs[name].dtype) for name, image in vars(features).items()}
        self.store.save(result_key("features", geometry), self.descriptions.of(geometry), **stored)
        return Features(**{name: image.astype(np.float32) for name, image in stored.items()})


def _specs(camera: Camera) -> dict[str, ArraySpec]:
    size = (camera.height, camera.width)
    vectors, share, distance = ArraySpec("float16", (*size, 3)), ArraySpec("float16", size), ArraySpec("float32", size)
    return {
        "albedo": vectors,
        "normal": vectors,
        "depth": distance,
        "subject": share,
        "backdrop": share,
        "body_depth": distance,
    }
