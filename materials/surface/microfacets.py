"""GGX microfacets with Smith's separable masking and shadowing.

Walter and others, "Microfacet models for refraction through rough surfaces", 2007.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array


def ggx_distribution(normal: Array, alpha: float) -> Array:
    """Return D, the density of microfacet normals per steradian, (...), at unit vectors (..., 3) of which z is up."""
    a2 = alpha**2
    slopes_squared = (normal[..., 0] ** 2 + normal[..., 1] ** 2) / normal[..., 2] ** 2
    density: Array = a2 / (np.pi * normal[..., 2] ** 4 * (a2 + slopes_squared) ** 2)
    return density


def smith_g1(cosine: ArrayLike, alpha: float) -> Array:
    """Return G1, the fraction of microfacets visible from a direction, any shape: 0 at the horizon and below.

    `cosine` is of the angle to the normal; `alpha` is above 0.
    """
    above = np.maximum(np.asarray(cosine, dtype=np.float64), 0.0)
    with np.errstate(divide="ignore"):
        tangent_squared = 1 / above**2 - 1
    return 2 / (1 + np.sqrt(1 + alpha**2 * tangent_squared))
