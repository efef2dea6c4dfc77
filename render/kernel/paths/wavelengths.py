"""The wavelengths that a path carries, one from each stratum of the range, tables of spectra, and spectral bands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum
from render.images.bands import BAND_COUNT, CENTRES_NM, RANGE_NM
from render.kernel.backend import mitsuba
from render.kernel.tables import float_table

STEPS = 768  # of the range: finer than the 1 nm grid, and a multiple of every number of strata
STEP_NM = (RANGE_NM[1] - RANGE_NM[0]) / STEPS
SPACING_NM = CENTRES_NM[1] - CENTRES_NM[0]
EDGES_NM = (RANGE_NM[0], *CENTRES_NM, RANGE_NM[1])
BandValues: TypeAlias = list[Any]
"""Lanes for each band."""


@dataclass
class SampledWavelengths:
    """`count` wavelengths, one from each of as many equal strata of the range: step number `step` (UInt32) of each."""

    count: int
    step: Any

    @classmethod
    def sample(cls, count: int, u: Any) -> SampledWavelengths:
        """Return the wavelengths for a sample in [0, 1)."""
        return cls(count, mitsuba().UInt32(u * (STEPS // count)))

    def integrate_bands(self, values: Sequence[Any]) -> BandValues:
        """Return the estimated integral over each band of what has these values at the wavelengths."""
        import drjit as dr

        mi = mitsuba()
        stratum_nm = (RANGE_NM[1] - RANGE_NM[0]) / self.count
        offset = (mi.Float(self.step) + 0.5) * STEP_NM
        bands = [mi.Float(0.0) for _ in range(BAND_COUNT)]
        for stratum, value in enumerate(values):
            start = RANGE_NM[0] + stratum * stratum_nm
            for band in range(BAND_COUNT):
                if EDGES_NM[band] < start + stratum_nm and EDGES_NM[band + 2] > start:
                    bands[band] = dr.fma(_band_response(band, start + offset), value, bands[band])
        return [band * stratum_nm for band in bands]


class SpectrumTable:
    """Rows of one spectrum or several, looked up at the wavelengths of paths; `wavelengths` of 4 or a multiple each."""

    def __init__(self, rows: Sequence[Sequence[Spectrum]], wavelengths: int) -> None:
        values = np.concatenate([_by_step(column, wavelengths) for column in zip(*rows, strict=True)], axis=-1)
        self._groups = values.shape[-1] // 4
        self._values = float_table(values)

    def lookup(
        self, row: Any, wavelengths: SampledWavelengths, active: Any = True, spectra: int = 1
    ) -> list[list[Any]]:
        """Return the first `spectra` of each lane's row, each as its values at the path's wavelengths."""
        import drjit as dr

        mi = mitsuba()
        count = wavelengths.count
        start = (mi.UInt32(row) * (STEPS // count) + wavelengths.step) * self._groups
        groups = [dr.gather(mi.Vector4f, self._values, start + i, active) for i in range(spectra * count // 4)]
        values = [value for group in groups for value in group]
        return [values[i * count : (i + 1) * count] for i in range(spectra)]


def _by_step(spectra: Sequence[Spectrum], count: int) -> NDArray[np.float32]:
    """Return (spectra, steps, count): the values that a path of `count` wavelengths looks up are contiguous."""
    wavelengths = RANGE_NM[0] + (np.arange(STEPS) + 0.5) * STEP_NM
    fine = np.array([np.interp(wavelengths, WAVELENGTHS_NM, spectrum) for spectrum in spectra])
    strata = fine.reshape(len(spectra), count, STEPS // count)
    return np.ascontiguousarray(strata.transpose(0, 2, 1), dtype=np.float32)


def _band_response(band: int, wavelength: Any) -> Any:
    """Return a band's value at a wavelength of the range: a triangle, constant beyond the outermost centres."""
    import drjit as dr

    distance = (wavelength - CENTRES_NM[band]) / SPACING_NM
    if band == 0:
        distance = dr.maximum(distance, 0.0)
    if band == BAND_COUNT - 1:
        distance = dr.minimum(distance, 0.0)
    return dr.maximum(1.0 - dr.abs(distance), 0.0)
