"""The Saunderson correction: a clear coat makes unbound matt paint darker and deeper.

Light that leaves the pigment is reflected in part at the inside of the coat and meets the pigment again
(Saunderson, "Calculation of the color of pigmented plastics", J. Opt. Soc. Am. 32, 727, 1942; Judd, same journal 1942).
Unbound is paint above its critical pigment volume concentration (Asbeck and Van Loo, "Critical pigment volume
relationships", Ind. Eng. Chem. 41, 1470, 1949): its binder leaves pores, which scatter at the surface of each grain and
make it lighter (Hansen, Lowinger and Sadoff, J. Am. Inst. Conserv. 32, 1, 1993) until a coat fills them.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from materials.light.spectra import Spectrum

from .fresnel import internal_hemispherical_fresnel


def coated_reflectance(bare: Spectrum, index: float = 1.5) -> Spectrum:
    """Return the base reflectance under a clear coat, (351,), of unbound matt paint that reflects `bare` without it.

    (1 - k2) r / (1 - k2 r), with k2 the reflectance of the coat's inside for diffuse light: white stays white, greys
    and colours become darker. A plastic of that base scatters (1 - F) times it, F the Fresnel reflectance at the angle
    of the light, besides its specular reflection.
    """
    return np.asarray(wetted(bare, internal_hemispherical_fresnel(index)))


def wetted(bare: Any, inside: Any) -> Any:
    """Return Saunderson's (1 - k2) r / (1 - k2 r) of reflectances `bare`, with k2 = `inside`: arrays, or kernel lanes.

    With `inside` 0 it is `bare`.
    """
    return (1.0 - inside) * bare / (1.0 - inside * bare)
