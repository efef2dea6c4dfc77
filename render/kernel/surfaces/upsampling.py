"""Spectral upsampling in the kernel: the reflectance of linear sRGB at the wavelengths of a path."""

from __future__ import annotations

from typing import Any

from materials.colour.mixing import BROAD_LIMITS, mixing_spectra
from render.kernel.backend import mitsuba
from render.kernel.paths.wavelengths import SampledWavelengths, SpectrumTable

FEWEST_CHROMA = 1e-6


class Upsampling:
    """The spectra of which colours are mixed (`materials.colour.mixing`), as a table that lanes look up."""

    def __init__(self, wavelengths: int) -> None:
        self._spectra = SpectrumTable(list(zip(*mixing_spectra(), strict=True)), wavelengths)

    def reflectance(self, colour: Any, wavelengths: SampledWavelengths) -> list[Any]:
        """Return the reflectance of linear sRGB, 0 to 1, at each wavelength."""
        import drjit as dr

        red, green, blue = colour
        smaller, larger = dr.minimum(red, green), dr.maximum(red, green)
        smallest, largest = dr.minimum(smaller, blue), dr.maximum(larger, blue)
        middle = dr.maximum(smaller, dr.minimum(larger, blue))
        chroma = dr.maximum(largest - smallest, FEWEST_CHROMA)
        low, high = BROAD_LIMITS
        broad_share = dr.clip(dr.minimum(smallest / -low, (1.0 - largest) / (high - 1.0)) / chroma, 0.0, 1.0)
        primary = self._mixed(_channel(colour, largest), broad_share, wavelengths)
        secondary = self._mixed(_channel(colour, smallest) + 3, broad_share, wavelengths)
        return [
            dr.fma(largest - middle, p, dr.fma(middle - smallest, s, smallest))
            for p, s in zip(primary, secondary, strict=True)
        ]

    def _mixed(self, row: Any, broad_share: Any, wavelengths: SampledWavelengths) -> list[Any]:
        import drjit as dr

        broad, narrow = self._spectra.lookup(row, wavelengths, spectra=2)
        return [dr.lerp(n, b, broad_share) for b, n in zip(broad, narrow, strict=True)]


def _channel(colour: Any, value: Any) -> Any:
    """Return which channel, 0 to 2, has a value."""
    import drjit as dr

    red, green, _ = colour
    whole = mitsuba().UInt32
    return dr.select(red == value, whole(0), dr.select(green == value, whole(1), whole(2)))
