"""Lamp images and their sum: light is additive, so dimmers and lamp spectra are applied after tracing."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.light.spectra import Spectrum, photometric_value

from .bands import BAND_COUNT, INDIRECT_PLANE, RANGE_NM, SPECULAR_PLANE, xyz_weights

Plane: TypeAlias = NDArray[np.float32]
RANGE: Final = np.float32(RANGE_NM[1] - RANGE_NM[0])
"""Of all bands together, nm."""


class LampImage(ABC):
    """The image of one lamp of flat unit radiance, as the mean of its passes: while it is traced, or finished.

    Its planes are the bands, W/(m2 sr), then the specular and the indirect part, W/(m2 sr nm).
    """

    @abstractmethod
    def plane(self, number: int) -> Plane:
        """Return a plane, (height, width)."""

    @property
    def mean(self) -> NDArray[np.float32]:
        """The bands, (bands, height, width)."""
        return np.stack([self.plane(number) for number in range(BAND_COUNT)])

    @property
    def level(self) -> Plane:
        """The mean over wavelengths, (height, width) W/(m2 sr nm)."""
        level = self.plane(0)
        for band in range(1, BAND_COUNT):
            level += self.plane(band)
        level /= RANGE
        return level

    @property
    def specular(self) -> Plane:
        """The specular part, (height, width) W/(m2 sr nm): what facets of the first surface mirror."""
        return self.plane(SPECULAR_PLANE)

    @property
    def indirect(self) -> Plane:
        """The indirect part, (height, width) W/(m2 sr nm): light that was scattered at least twice."""
        return self.plane(INDIRECT_PLANE)


@dataclass(frozen=True, eq=False)
class LitLamp:
    """A lamp image, and the radiance (351,) W/(m2 sr nm) that replaces its flat unit radiance."""

    image: LampImage
    radiance: Spectrum


def lamp_xyz(lit: LitLamp) -> NDArray[np.float32]:
    """Return the picture by one lamp, (height, width, 3) XYZ, Y in cd/m2."""
    weights = xyz_weights(lit.radiance).astype(np.float32)
    xyz = np.multiply.outer(weights[:, 0], lit.image.plane(0))
    for band in range(1, BAND_COUNT):  # one by one: all bands together are large
        plane = lit.image.plane(band)
        for channel in range(3):
            xyz[channel] += weights[channel, band] * plane
    return np.ascontiguousarray(np.moveaxis(xyz, 0, -1))


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
