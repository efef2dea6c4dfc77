"""Sheen: the mirror image that a rough surface shows at grazing angles.

Seen along the surface its heights are small beside the wavelength, and a part of the light is reflected coherently, as
by a smooth surface: exp(-(4 pi sigma c / lambda)^2), with sigma the rms height and c the cosine of the angle of
incidence (Rayleigh; Bennett and Porteus, "Relation between surface roughness and specular reflectance at normal
incidence", J. Opt. Soc. Am. 51, 123, 1961; at grazing angles Hasunuma and Nara, "On the sheen gloss", J. Phys. Soc.
Japan 11, 69, 1956). The rest is scattered by the facets.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array

COHERENCE: Final = 2200.0
"""(4 pi sigma / lambda)^2 over the roughness (GGX alpha): sigma is 2.1 um sqrt(alpha) at 555 nm.

So paint of any gloss at 60 degrees reads at 85 degrees within the published level of that gloss (MPI gloss and sheen
levels), and as ISO 2813's example does (`tests/published/test_gloss.py`). The real fraction is larger in red light.
"""


def coherent_fraction(cosine: ArrayLike, roughness: float) -> Array:
    """Return the fraction, 0 to 1, of its light that a surface of GGX alpha `roughness` reflects as a mirror image.

    `cosine`, any shape, is of the angle of incidence.
    """
    return np.asarray(np.exp(-COHERENCE * roughness * np.square(cosine)))


def scattered_fraction(incident: ArrayLike, outgoing: ArrayLike, roughness: float) -> Array:
    """Return the factor, 0 to 1, of the light that the facets scatter between two directions, by their cosines.

    What is left of the coherent fraction: the geometric mean for both directions, so that the lobe is reciprocal.
    """
    left, other = (1 - coherent_fraction(cosine, roughness) for cosine in (incident, outgoing))
    return np.asarray(np.sqrt(left * other))
