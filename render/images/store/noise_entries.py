"""What the noise of lamp images is measured on, and what was measured: kept by the number of passes."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from render.camera.denoise import denoiser_version
from render.description.scene import Camera, Geometry
from render.images.noise import Noise
from render.images.passes.light_halves import LightHalves
from scenes.lamps.emitter_shape import EmitterShape

from .container import ArraySpec
from .descriptions import Descriptions
from .keys import result_key
from .store import Store

HALVES_VERSION: Final = 1
"""Part of their keys: change it when the same passes would give other halves."""
NOISE_VERSION: Final = 4
"""Part of its keys: change it when the same halves would give another noise."""
SCALE: Final = ArraySpec("float32", ())
HALVES_PASSES: Final = ArraySpec("int64", (2,))
NUMBER: Final = ArraySpec("float64", ())


class NoiseEntries:
    """The halves and the noise of the lamp images of a store: 14 and 8 bytes a pixel."""

    def __init__(self, store: Store, descriptions: Descriptions) -> None:
        self.store = store
        self.descriptions = descriptions

    def load_halves(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> LightHalves | None:
        """Return the halves of a lamp image of so many passes; None where they are not stored."""
        stored = self.store.load(_halves_key(geometry, lamp, passes), _halves_specs(geometry.camera))
        return LightHalves(**stored) if stored else None

    def has_halves(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> bool:
        """Return whether both halves of a lamp image have passes that are stored, without reading them."""
        stored = self.store.load(_halves_key(geometry, lamp, passes), {"passes": HALVES_PASSES})
        return stored is not None and bool(stored["passes"].all())

    def save_halves(self, geometry: Geometry, lamp: EmitterShape, passes: int, halves: LightHalves) -> None:
        """Store the halves of a lamp image of so many passes."""
        description = self.descriptions.of(geometry, lamp, passes)
        self.store.save(_halves_key(geometry, lamp, passes), description, **_arrays(halves))

    def discard_halves(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> None:
        """Remove the halves of a lamp image that has more passes now."""
        self.store.discard(_halves_key(geometry, lamp, passes))

    def has_noise(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> bool:
        """Return whether the noise of a lamp image is stored, without reading it."""
        return self.store.load(_noise_key(geometry, lamp, passes), {"known": NUMBER}) is not None

    def load_noise(self, geometry: Geometry, lamp: EmitterShape, passes: int) -> Noise | None:
        """Return the noise of a lamp image of so many passes; None where it is not stored."""
        stored = self.store.load(_noise_key(geometry, lamp, passes), _noise_specs(geometry.camera))
        return Noise(**stored, passes=passes) if stored else None

    def save_noise(self, geometry: Geometry, lamp: EmitterShape, noise: Noise) -> None:
        """Store the noise of a lamp image."""
        arrays = {name: value for name, value in _arrays(noise).items() if name != "passes"}
        description = self.descriptions.of(geometry, lamp, noise.passes)
        self.store.save(_noise_key(geometry, lamp, noise.passes), description, **arrays)


def _halves_key(geometry: Geometry, lamp: EmitterShape, passes: int) -> str:
    return result_key("halves", geometry, lamp, passes, HALVES_VERSION)


def _noise_key(geometry: Geometry, lamp: EmitterShape, passes: int) -> str:
    return result_key("noise", geometry, lamp, passes, NOISE_VERSION, denoiser_version())


def _arrays(values: LightHalves | Noise) -> dict[str, NDArray[Any]]:
    return {name: np.asarray(value) for name, value in vars(values).items()}


def _halves_specs(camera: Camera) -> dict[str, ArraySpec]:
    size = (2, camera.height, camera.width)
    return {
        "rgb": ArraySpec("float16", (*size, 3)),
        "scale": SCALE,
        "indirect_share": ArraySpec("uint8", size),
        "passes": HALVES_PASSES,
    }


def _noise_specs(camera: Camera) -> dict[str, ArraySpec]:
    halves = ArraySpec("float16", (2, camera.height, camera.width))
    return {"clean": halves, "clean_scale": SCALE, "noisy": halves, "noisy_scale": SCALE, "known": NUMBER}
