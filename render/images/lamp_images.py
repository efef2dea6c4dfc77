"""Lamp images and their sum: light is additive, so dimmers and lamp spectra are applied after tracing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum, photometric_value
from render.description.scene import Camera

from .bands import BAND_COUNT, INDIRECT_PLANE, PLANE_COUNT, SPECULAR_PLANE, xyz_weights

Sums: TypeAlias = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class LampImage:
    """The image of one lamp of flat unit radiance: sums over passes, in two independent halves.

    Parameters
    ----------
    even, odd : (planes, height, width)
        Sums of the passes of even and of odd number: the bands, then the specular and the indirect part.
    passes
        Number of passes in both together.
    group
        Lamps of one group were traced by the same paths, so their noise is correlated.
    """

    even: Sums
    odd: Sums
    passes: int
    group: int = 0

    @classmethod
    def empty(cls, camera: Camera, group: int) -> LampImage:
        """Return an image without any pass."""
        zeros = np.zeros((PLANE_COUNT, camera.height, camera.width), np.float32)
        return cls(zeros, zeros, 0, group)

    def with_passes(self, number: int, image: Sums, count: int = 1) -> LampImage:
        """Return the lamp image with the sum of `count` passes of one half added, from pass `number` on."""
        passes = self.passes + count
        if number % 2:
            return replace(self, odd=self.odd + image, passes=passes)
        return replace(self, even=self.even + image, passes=passes)

    @property
    def mean(self) -> Sums:
        """The mean of all passes, (bands, height, width)."""
        total = self.even[:BAND_COUNT] + self.odd[:BAND_COUNT]
        total /= np.float32(self.passes)  # in place: it is large
        return total

    @property
    def specular(self) -> Sums:
        """The mean of the specular part, (height, width) W/(m2 sr nm): what facets of the first surface mirror."""
        return self._mean_plane(SPECULAR_PLANE)

    @property
    def indirect(self) -> Sums:
        """The mean of the indirect part, (height, width) W/(m2 sr nm): light that was scattered at least twice."""
        return self._mean_plane(INDIRECT_PLANE)

    def _mean_plane(self, plane: int) -> Sums:
        mean: Sums = (self.even[plane] + self.odd[plane]) / np.float32(self.passes)
        return mean


@dataclass(frozen=True, eq=False)
class LitLamp:
    """A lamp image, and the radiance (351,) W/(m2 sr nm) that replaces its flat unit radiance."""

    image: LampImage
    radiance: Spectrum


def lamp_xyz(lit: LitLamp) -> NDArray[np.float32]:
    """Return the picture by one lamp, (height, width, 3) XYZ, Y in cd/m2."""
    weights = xyz_weights(lit.radiance).astype(np.float32)
    xyz: NDArray[np.float32] = np.tensordot(lit.image.mean, weights, axes=(0, 1))
    return xyz


def specular_luminance(lit: LitLamp) -> NDArray[np.float32]:
    """Return the luminance of the specular part of the picture by one lamp, (height, width) cd/m2.

    As if facets mirrored every wavelength alike, which all but coloured metals do.
    """
    luminance: NDArray[np.float32] = lit.image.specular * np.float32(photometric_value(lit.radiance))
    return luminance


def scene_xyz(lamps: Sequence[NDArray[np.float32]]) -> NDArray[np.float32]:
    """Return the picture by all lamps together; `lamps` has the `lamp_xyz` of each."""
    total: NDArray[np.float32] = np.add.reduce(lamps)
    return total
