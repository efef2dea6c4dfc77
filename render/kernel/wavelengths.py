"""The wavelengths that a path carries, one from each of equal parts of the range, and their projection on bands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum
from render.images.bands import BAND_COUNT, CENTRES_NM, RANGE_NM

from .backend import mitsuba

STEPS = 768  # that the range is cut into: finer than the 1 nm grid, and a multiple of every count of parts
STEP_NM = (RANGE_NM[1] - RANGE_NM[0]) / STEPS
Bands: TypeAlias = list[Any]
"""Lanes for each band."""

SPACING_NM = CENTRES_NM[1] - CENTRES_NM[0]
EDGES_NM = (RANGE_NM[0], *CENTRES_NM, RANGE_NM[1])


@dataclass
class Wavelengths:
    """`count` wavelengths, the same `slot` (UInt32 lanes) of each of `count` equal parts of the range."""

    count: int
    slot: Any

    @classmethod
    def drawn(cls, count: int, u: Any) -> Wavelengths:
        """Return the wavelengths for a number in [0, 1)."""
        return cls(count, mitsuba().UInt32(u * (STEPS // count)))

    def projected(self, values: Sequence[Any]) -> Bands:
        """Return the integral of `values`, lanes for each wavelength, over each band."""
        import drjit as dr

        mi = mitsuba()
        part_nm = (RANGE_NM[1] - RANGE_NM[0]) / self.count
        offset = (mi.Float(self.slot) + 0.5) * STEP_NM
        bands = [mi.Float(0.0) for _ in range(BAND_COUNT)]
        for part, value in enumerate(values):
            start = RANGE_NM[0] + part * part_nm
            for band in range(BAND_COUNT):
                if EDGES_NM[band] < start + part_nm and EDGES_NM[band + 2] > start:
                    bands[band] = dr.fma(_hat(band, start + offset), value, bands[band])
        return [band * part_nm for band in bands]


def _hat(band: int, wavelength: Any) -> Any:
    """Return a band's value at a wavelength of the range: a hat, held flat at the ends of the range."""
    import drjit as dr

    distance = (wavelength - CENTRES_NM[band]) / SPACING_NM
    if band == 0:
        distance = dr.maximum(distance, 0.0)
    if band == BAND_COUNT - 1:
        distance = dr.minimum(distance, 0.0)
    return dr.maximum(1.0 - dr.abs(distance), 0.0)


def spectrum_table(spectra: Sequence[Spectrum], count: int) -> NDArray[np.float32]:
    """Return (spectra, slots, count): what a path of `count` wavelengths looks up, contiguous for each slot."""
    wavelengths = RANGE_NM[0] + (np.arange(STEPS) + 0.5) * STEP_NM
    fine = np.array([np.interp(wavelengths, WAVELENGTHS_NM, spectrum) for spectrum in spectra])
    parts = fine.reshape(len(spectra), count, STEPS // count)
    return np.ascontiguousarray(parts.transpose(0, 2, 1), dtype=np.float32)
