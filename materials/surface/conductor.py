"""Fresnel reflectance of conductors, and its approximation from the reflectance at normal incidence F0.

Lazanyi and Szirmay-Kalos, "Fresnel term approximations for metals" (WSCG 2005), subtract an error term from Schlick's
approximation, for the reflectance of a metal can dip before it rises to 1 at grazing angles:

    F(c) = F0 + (1 - F0) (1 - c)^5 - a c (1 - c)^6,

with c the cosine of the angle of incidence. Here a = offset + slope F0 over the wavelengths of one metal, so that F is
a multiple of F0 plus a part without colour.
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.arrays import Array

from .fresnel import normal_reflectance

_ANGLES_DEG: Final = np.arange(0.0, 86.0)
"""Where the approximation is fitted to the exact reflectance."""


class FresnelDip(NamedTuple):
    """How far a metal's reflectance stays under Schlick's approximation: a = offset + slope F0."""

    offset: float
    slope: float

    @classmethod
    def of(cls, index: NDArray[np.complex128]) -> FresnelDip:
        """Return the dip of a metal by its complex refractive index over wavelengths, by least squares."""
        cosine = np.cos(np.radians(_ANGLES_DEG))[:, None]
        normal = normal_reflectance(index)
        error = cosine * (1 - cosine) ** 6
        excess = schlick(normal, cosine) - conductor_fresnel(cosine, index)
        of_wavelength = (error * excess).sum(axis=0) / (error**2).sum()
        (offset, slope), *_ = np.linalg.lstsq(np.stack([np.ones_like(normal), normal], axis=1), of_wavelength)
        return cls(float(offset), float(slope))


NO_DIP: Final = FresnelDip(0.0, 0.0)
"""Schlick's approximation itself, for a metal of which the colour alone is known."""


def conductor_fresnel(cosine: ArrayLike, index: ArrayLike) -> Array:
    """Return the unpolarised reflectance of a smooth conductor (Fresnel's equations), any shape.

    `cosine` is of the angle of incidence; `index` is the complex refractive index over that outside.
    """
    c, n2 = np.asarray(cosine, dtype=np.float64), np.asarray(index, dtype=np.complex128) ** 2
    refracted = np.sqrt(n2 - 1 + c**2)
    perpendicular, parallel = (c - refracted) / (c + refracted), (n2 * c - refracted) / (n2 * c + refracted)
    return np.asarray((np.abs(perpendicular) ** 2 + np.abs(parallel) ** 2) / 2)


def schlick(normal: ArrayLike, cosine: ArrayLike) -> Array:
    """Return Schlick's approximation of the reflectance from that at normal incidence, any shape."""
    f0 = np.asarray(normal, dtype=np.float64)
    return np.asarray(f0 + (1 - f0) * (1 - np.asarray(cosine)) ** 5)


def approximate_fresnel(normal: ArrayLike, cosine: ArrayLike, dip: FresnelDip) -> Array:
    """Return the approximate reflectance of a conductor from that at normal incidence, any shape."""
    c = np.asarray(cosine, dtype=np.float64)
    error = dip.offset + dip.slope * np.asarray(normal, dtype=np.float64)
    return np.asarray(schlick(normal, c) - error * c * (1 - c) ** 6)


def hemispherical_reflectance(normal: Any, dip: tuple[Any, Any]) -> Any:
    """Return the approximate reflectance of a conductor for diffuse light: 2 times the integral of F(c) c dc.

    `normal` is that at normal incidence, and `dip` the numbers of a `FresnelDip`: arrays, or kernel lanes.
    """
    offset, slope = dip
    return normal + (1.0 - normal) / 21.0 - (offset + slope * normal) / 126.0
