"""Metals by name: what their polished surface reflects straight on, of published optical constants."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import PLANCK_CONSTANT, SPEED_OF_LIGHT, WAVELENGTHS_NM, frozen
from materials.light.spectra import Spectrum

from .named_finishes import read_table

ELEMENTARY_CHARGE: Final = 1.602176634e-19
"""C, exact since the 2019 revision of the SI."""
_EV: Final = PLANCK_CONSTANT * SPEED_OF_LIGHT / ELEMENTARY_CHARGE / (WAVELENGTHS_NM * 1e-9)


@dataclass(frozen=True)
class Metal:
    """A metal by its name, in words, and where its optical constants are from.

    `constants` are rows of photon energy in eV, n and k; or `plasma_ev` with `oscillators`, rows of strength, width and
    place in eV, of which the first are the free electrons.
    """

    description: str
    source: str
    constants: tuple[tuple[float, float, float], ...] = ()
    plasma_ev: float = 0.0
    oscillators: tuple[tuple[float, float, float], ...] = ()

    @property
    def index(self) -> NDArray[np.complex128]:
        """The complex refractive index n + ik at the grid's wavelengths, (351,)."""
        if self.constants:
            energy, n, k = np.array(self.constants).T
            return np.asarray(np.interp(_EV, energy, n) + 1j * np.interp(_EV, energy, k))
        response = np.ones(_EV.shape, complex)
        for strength, width, place in self.oscillators:
            response += strength * self.plasma_ev**2 / (place**2 - _EV**2 - 1j * _EV * width)
        return np.sqrt(response)


def named_metals() -> dict[str, Metal]:
    """Return the metals of `metals.toml`."""
    return {name: _metal(**values) for name, values in read_table("metals.toml").items()}


@lru_cache(maxsize=64)
def metal_reflectance(name: str, index_outside: float = 1.0) -> Spectrum:
    """Return what a metal reflects straight on, (351,), read-only, in air or under a clear coat of `index_outside`.

    |(n + ik - m) / (n + ik + m)|^2, m outside (Fresnel). Raises KeyError for a metal that is not in the table.
    """
    index = named_metals()[name].index
    return frozen(np.abs((index - index_outside) / (index + index_outside)) ** 2)


def _metal(constants: Sequence[Any] = (), oscillators: Sequence[Any] = (), **said: Any) -> Metal:
    return Metal(constants=tuple(map(tuple, constants)), oscillators=tuple(map(tuple, oscillators)), **said)
