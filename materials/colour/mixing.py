"""Spectral upsampling of pictures: a colour is mixed of white, a secondary and a primary of light, by three numbers.

Smits, "An RGB-to-spectrum conversion for reflectances", 1999: with the channels of linear sRGB in order of size,
r = smallest + (middle - smallest) S + (largest - middle) P, where S is the cyan, magenta or yellow that lacks the
smallest channel, and P the red, green or blue of the largest. It is continuous, and a grey is flat. S and P are here
mixed in turn of a narrow spectrum, within 0 to 1, and a broad one of the same colour, which surfaces of moderate
chroma need and which leaves those limits: as much of the broad as keeps r within 0 to 1.
"""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np

from materials.arrays import Array, frozen
from materials.light.observer import WAVELENGTHS_NM
from materials.packaged import packaged_columns

MIXED_COLOURS: Final = ("red", "green", "blue", "cyan", "magenta", "yellow")
"""Each secondary is three after the primary that it lacks."""
BROAD_LIMITS: Final = (-0.05, 1.2)
"""Least and greatest value of the broad spectra."""


@cache
def mixing_spectra() -> tuple[Array, Array]:
    """Return the broad and the narrow spectra, (6, 351) each, of `MIXED_COLOURS`, each of its colour under D65."""
    table = packaged_columns("materials.colour", "data/mixing.csv")
    nm = table.pop("wavelength_nm")
    spectra = np.array([np.interp(WAVELENGTHS_NM, nm, values) for values in table.values()])
    return frozen(spectra[:6]), frozen(spectra[6:])
