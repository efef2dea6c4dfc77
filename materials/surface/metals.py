"""Metals by name: their reflectance, at normal incidence and towards grazing, from published optical constants."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import frozen
from materials.light.constants import ELEMENTARY_CHARGE, PLANCK_CONSTANT, SPEED_OF_LIGHT
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum
from materials.packaged import packaged_toml

from .conductor import FresnelDip
from .fresnel import normal_reflectance

_EV: Final = PLANCK_CONSTANT * SPEED_OF_LIGHT / ELEMENTARY_CHARGE / (WAVELENGTHS_NM * 1e-9)
"""(351,) photon energy at the grid's wavelengths, eV."""


@dataclass(frozen=True)
class Metal:
    """A metal: its optical constants, a description, and the source of the constants.

    `constants` are rows of photon energy in eV, n and k; or `plasma_ev` with `oscillators` of the Lorentz-Drude model,
    rows of strength, width and resonance in eV, of which the first are the free electrons.
    """

    description: str
    source: str
    constants: tuple[tuple[float, float, float], ...] = ()
    plasma_ev: float = 0.0
    oscillators: tuple[tuple[float, float, float], ...] = ()

    @property
    def index(self) -> NDArray[np.complex128]:
        """The complex refractive index n + ik, (351,)."""
        if self.constants:
            energy, n, k = np.array(self.constants).T
            return np.asarray(np.interp(_EV, energy, n) + 1j * np.interp(_EV, energy, k))
        response = np.ones(_EV.shape, complex)
        for strength, width, resonance in self.oscillators:
            response += strength * self.plasma_ev**2 / (resonance**2 - _EV**2 - 1j * _EV * width)
        return np.sqrt(response)


def named_metals() -> dict[str, Metal]:
    """Return the metals of `metals.toml`."""
    return {name: _metal(table) for name, table in packaged_toml("materials.surface", "metals.toml").items()}


@lru_cache(maxsize=64)
def metal_reflectance(name: str, index_outside: float = 1.0) -> Spectrum:
    """Return a metal's reflectance at normal incidence, (351,), read-only, in air or under a coat of `index_outside`.

    Raises KeyError for a metal that is not in the table.
    """
    return frozen(normal_reflectance(named_metals()[name].index, index_outside))


@lru_cache(maxsize=64)
def metal_dip(name: str) -> FresnelDip:
    """Return how a metal in air reflects towards grazing angles; KeyError for a metal that is not in the table."""
    return FresnelDip.of(named_metals()[name].index)


def _metal(table: dict[str, Any]) -> Metal:
    """Return a metal from its table in the file, its rows as tuples."""
    rows = {key: tuple(map(tuple, table.get(key, ()))) for key in ("constants", "oscillators")}
    return Metal(**{**table, **rows})
