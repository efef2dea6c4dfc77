"""Fresnel reflectance of smooth surfaces."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array

_NODES = 64


def fresnel(cosine: ArrayLike, index: float) -> Array:
    """Return the unpolarised reflectance of a smooth dielectric, any shape (Fresnel's equations).

    `cosine` is of the angle of incidence, above 0; `index` is the ratio of refractive indices, above 1.
    """
    incident = np.asarray(cosine, dtype=np.float64)
    refracted = np.sqrt(index**2 - 1 + incident**2)
    perpendicular = (incident - refracted) / (incident + refracted)
    parallel = (index**2 * incident - refracted) / (index**2 * incident + refracted)
    return 0.5 * (perpendicular**2 + parallel**2)


@lru_cache(maxsize=64)
def hemispherical_fresnel(index: float) -> float:
    """Return the reflectance of a smooth dielectric for diffuse light from outside: 0.092 of index 1.5.

    2 times the integral of F(c) c dc over the cosine c.
    """
    nodes, weights = np.polynomial.legendre.leggauss(_NODES)
    cosine = (nodes + 1) / 2
    return float(weights @ (fresnel(cosine, index) * cosine))


def internal_hemispherical_fresnel(index: float) -> float:
    """Return the reflectance of a smooth dielectric for diffuse light from inside: 0.596 of index 1.5.

    1 - (1 - F) / index^2, with F the reflectance from outside (reciprocity of radiance).
    """
    return 1 - (1 - hemispherical_fresnel(index)) / index**2


def normal_reflectance(index: ArrayLike, index_outside: float = 1.0) -> Array:
    """Return the reflectance of a smooth surface at normal incidence, any shape: |(n - m) / (n + m)|^2.

    `index` is n, complex for a conductor; `index_outside` is m.
    """
    n = np.asarray(index)
    return np.abs((n - index_outside) / (n + index_outside)) ** 2
