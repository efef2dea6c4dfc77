"""Denoising gains by lamp image: found in the store, or measured once and stored."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Final

import numpy as np

from render.camera.denoise import denoiser_version
from render.description.scene import Geometry
from render.images.denoising_gain import DenoisingGain, measure_gain
from render.images.passes.sealing import SealedImage
from scenes.lamps.emitter_shape import EmitterShape

from .container import ArraySpec
from .descriptions import Descriptions
from .keys import result_key
from .store import Store

if TYPE_CHECKING:
    from render.kernel.features import Features

GAIN_VERSION: Final = 4
"""Part of every gain's key: change it when the same lamp image would be denoised differently."""

LITTLE: Final = ArraySpec("float64", ())


class GainEntries:
    """The denoising gains of a store: 6 bytes a pixel."""

    def __init__(self, store: Store, descriptions: Descriptions) -> None:
        self.store = store
        self.descriptions = descriptions
        self._measuring = threading.Lock()

    def has(self, geometry: Geometry, lamp: EmitterShape, passes: int, group: int) -> bool:
        """Return whether the gain of a lamp image is in the store, without reading it."""
        return self.store.load(_gain_key(geometry, lamp, passes, group), {"little": LITTLE}) is not None

    def gain(self, geometry: Geometry, lamp: EmitterShape, image: SealedImage, features: Features) -> DenoisingGain:
        """Return the gain of a lamp image, from any thread; `features` is what its camera sees.

        One at a time: the denoiser is one device, and what two threads need is measured once.

        Raises
        ------
        NoDenoiserError
            If it has to be measured, and the denoiser does not load.
        """
        key = _gain_key(geometry, lamp, image.passes, image.group)
        with self._measuring:
            gain = self._load(key, geometry)
            if gain is None:
                gain = measure_gain(image, features)
                description = self.descriptions.of(geometry, lamp, image.passes)
                self.store.save(key, description, gain=gain.gain, little=np.asarray(gain.little))
            return gain

    def _load(self, key: str, geometry: Geometry) -> DenoisingGain | None:
        size = (geometry.camera.height, geometry.camera.width, 3)
        stored = self.store.load(key, {"gain": ArraySpec("float16", size), "little": LITTLE})
        return DenoisingGain(stored["gain"], float(stored["little"])) if stored else None


def _gain_key(geometry: Geometry, lamp: EmitterShape, passes: int, group: int) -> str:
    """Return the key of a gain: of one noise, which is that of a group and its first passes."""
    return result_key("gain", geometry, lamp, passes, group, GAIN_VERSION, denoiser_version())
