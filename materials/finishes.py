"""Finishes: how a surface takes light."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from .cie import WAVELENGTHS_NM, frozen
from .energy import late_reflectance
from .gloss import roughness_for
from .spectra import Spectrum


@dataclass(frozen=True, eq=False)
class Finish:
    """How a surface takes light. Equal, and of equal hash, when every value is.

    Attributes
    ----------
    kind
        ``matt``: Lambertian board, paper, cloth; ``plastic``: paint or plastic, a body under a dielectric
        surface; ``metal``: a conductor; ``diffuser``: a sheet that scatters light evenly to both its sides.
    base
        (351,) reflectance, 0 to 1, read-only: the colour as seen without its shine. Of a metal, the
        reflectance of its facets.
    roughness
        GGX alpha, 0 (mirror-smooth) to 1; 0 and without meaning where nothing shines.
    index
        Refractive index of the surface of a ``plastic``.
    transmittance
        (351,) of a ``diffuser``, what leaves on the other side; 0 for all else. With `base` at most 1.

    Raises
    ------
    ValueError
        If a value is out of its range.
    """

    kind: Literal["matt", "plastic", "metal", "diffuser"]
    base: Spectrum
    roughness: float = 0.0
    index: float = 1.5
    transmittance: Spectrum = field(default_factory=lambda: np.zeros(WAVELENGTHS_NM.shape))

    def __post_init__(self) -> None:
        object.__setattr__(self, "base", _reflectance(self.base))
        object.__setattr__(self, "transmittance", _reflectance(self.transmittance))
        if self.kind not in {"matt", "plastic", "metal", "diffuser"}:
            raise ValueError(f"a finish is matt, plastic, metal or diffuser, not {self.kind!r}")
        if self.kind != "diffuser" and self.transmittance.any():
            raise ValueError(f"light passes through a diffuser, not through {self.kind}")
        if (self.base + self.transmittance).max() > 1 + 1e-9:
            raise ValueError("a diffuser cannot send on more than arrives: reflectance and transmittance exceed 1")
        if not 0 <= self.roughness <= 1:
            raise ValueError(f"roughness lies between 0 and 1, not {self.roughness}")
        if not (np.isfinite(self.index) and self.index > 1):
            raise ValueError(f"a refractive index lies above 1, not at {self.index}")

    @classmethod
    def board(cls, reflectance: float | Spectrum) -> Finish:
        """Return a Lambertian board of one reflectance, 0 to 1, or of a (351,) spectrum of them."""
        return cls("matt", _reflectance(reflectance))

    @classmethod
    def plastic(cls, base: float | Spectrum, gloss_units: float) -> Finish:
        """Return a paint or plastic of index 1.5 that reads `gloss_units` GU at 60 degrees over black.

        Raises ValueError if no surface of that index has that gloss.
        """
        return cls("plastic", _reflectance(base), roughness_for(float(gloss_units)))

    @classmethod
    def metal(cls, base: float | Spectrum, roughness: float) -> Finish:
        """Return a conductor that reflects `base` straight on, of GGX alpha `roughness`."""
        return cls("metal", _reflectance(base), float(roughness))

    def under_topcoat(self, gloss_units: float) -> Finish:
        """Return the finish with a clear coat sprayed over it that reads `gloss_units` GU at 60 degrees.

        Paint and plastic take the coat's roughness, since the coat is then their surface; board becomes a
        plastic. A metal takes the larger of its own roughness and the coat's: a stand-in until coats are
        layers of their own, without the coat's own highlight.
        """
        coat = roughness_for(float(gloss_units))
        if self.kind == "metal":
            return replace(self, roughness=max(self.roughness, coat))
        return Finish("plastic", self.base, coat)

    @classmethod
    def diffuser(cls, reflectance: float | Spectrum, transmittance: float | Spectrum) -> Finish:
        """Return a sheet that scatters light back and through, evenly over all directions."""
        return cls("diffuser", _reflectance(reflectance), transmittance=_reflectance(transmittance))

    @property
    def second(self) -> Spectrum:
        """The colour, (351,), of what is not of the base's.

        Light that left a plastic's surface at once, that met several facets of a metal, or that passed a diffuser.
        """
        if self.kind == "metal":
            return late_reflectance(self.base, self.roughness)
        return self.transmittance if self.kind == "diffuser" else np.full_like(self.base, float(self.kind == "plastic"))

    def _key(self) -> tuple[str, bytes, float, float, bytes]:
        return self.kind, self.base.tobytes(), self.roughness, self.index, self.transmittance.tobytes()

    def __eq__(self, other: object) -> bool:
        return self._key() == other._key() if isinstance(other, Finish) else NotImplemented

    def __hash__(self) -> int:
        return hash(self._key())


def _reflectance(values: ArrayLike) -> Spectrum:
    """Return a read-only copy of `values` on the grid, all of them within 0 to 1."""
    array = np.asarray(values, dtype=np.float64)
    if array.shape not in {(), WAVELENGTHS_NM.shape}:
        raise ValueError(f"a reflectance is one number or {WAVELENGTHS_NM.size} of them, not of shape {array.shape}")
    if not np.all((array >= 0) & (array <= 1)):
        raise ValueError(f"reflectance lies between 0 and 1, not {array.min():g} to {array.max():g}")
    return frozen(np.array(np.broadcast_to(array, WAVELENGTHS_NM.shape)))
