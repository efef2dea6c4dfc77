"""Lamp images and their sum: light adds, so any dimmer and any lamp spectrum is arithmetic on what was traced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum
from render.description.scene import Camera

from .bands import BAND_COUNT, xyz_weights

Sums: TypeAlias = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class LampImage:
    """The image of one lamp of flat unit radiance: sums over passes, in two independent halves.

    `even` and `odd` are the sums of the passes of even and of odd number, (bands, height, width). Lamps of one `group`
    were traced by the same paths, so their noise goes together.
    """

    even: Sums
    odd: Sums
    passes: int
    group: int = 0

    @classmethod
    def empty(cls, camera: Camera, group: int) -> LampImage:
        """Return an image of no pass yet."""
        nothing = np.zeros((BAND_COUNT, camera.height, camera.width), np.float32)
        return cls(nothing, nothing, 0, group)

    @classmethod
    def from_pass(cls, image: Sums) -> LampImage:
        """Return what pass 0 makes of (bands, height, width)."""
        return cls(image, np.zeros_like(image), 1)

    def with_passes(self, number: int, image: Sums, count: int = 1) -> LampImage:
        """Return the lamp image with the sum of `count` passes of one half added, from pass `number` on."""
        passes = self.passes + count
        if number % 2:
            return replace(self, odd=self.odd + image, passes=passes)
        return replace(self, even=self.even + image, passes=passes)

    @property
    def mean(self) -> Sums:
        """The mean of all passes, (bands, height, width)."""
        total = self.even + self.odd
        total /= np.float32(self.passes)  # in place: it is large
        return total


@dataclass(frozen=True, eq=False)
class LitLamp:
    """A lamp image with the radiance of the lamp that is put in its place, (351,) W/(m2 sr nm)."""

    image: LampImage
    radiance: Spectrum


def lamp_xyz(lit: LitLamp) -> NDArray[np.float32]:
    """Return one lamp's light in the picture, (height, width, 3) XYZ, Y in cd/m2."""
    weights = xyz_weights(lit.radiance).astype(np.float32)
    light: NDArray[np.float32] = np.tensordot(lit.image.mean, weights, axes=(0, 1))
    return light


def scene_xyz(lights: Sequence[NDArray[np.float32]]) -> NDArray[np.float32]:
    """Return the light of all lamps together, XYZ as of `lamp_xyz`, each lamp's being one of `lights`."""
    total: NDArray[np.float32] = np.add.reduce(lights)
    return total
