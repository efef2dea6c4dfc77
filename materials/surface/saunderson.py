"""What a clear coat does to unbound matt paint: it wets it darker and deeper.

Light that a coated surface sends out is thrown back in part by the coat's own inside and passes the pigment again
(Saunderson, "Calculation of the color of pigmented plastics", J. Opt. Soc. Am. 32, 727, 1942; Judd, same journal 1942).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from materials.light.spectra import Spectrum

from .glossmeter import fresnel


def wetted(bare: Spectrum, index: float = 1.5) -> Spectrum:
    """Return the base, (351,), that unbound matt paint of reflectance `bare` has under a clear coat.

    (1 - k2) r / (1 - k2 r), with k2 what the coat's inside throws back of even light: white stays white, and what is
    between white and black becomes darker. A plastic of that base sends out (1 - F) times it, F the Fresnel reflectance
    for the angle of the light, beside its shine.
    """
    inside = internal_reflectance(index)
    return np.asarray((1 - inside) * bare / (1 - inside * bare))


@lru_cache(maxsize=64)
def internal_reflectance(index: float) -> float:
    """Return k2: what a smooth dielectric reflects of even light from inside, 0.596 of index 1.5.

    1 - (1 - k1) / index^2, with k1 what it reflects of even light from outside, by Fresnel (reciprocity of radiance).
    """
    nodes, weights = np.polynomial.legendre.leggauss(64)
    cosine = (nodes + 1) / 2
    outside = float(weights @ (fresnel(cosine, index) * cosine))
    return 1 - (1 - outside) / index**2
