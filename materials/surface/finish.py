"""Finishes: how a surface takes light."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import ArrayLike

from materials.light.observer import COLOUR_MATCHING, D65, WAVELENGTHS_NM, frozen
from materials.light.spectra import Spectrum

from .energy import late_reflectance
from .glossmeter import roughness_for, roughness_over
from .saunderson import wetted

Kind: TypeAlias = Literal["matt", "plastic", "metal", "diffuser", "clear"]


@dataclass(frozen=True, eq=False)
class Finish:
    """How a surface takes light. Equal, and of equal hash, when every value is.

    Attributes
    ----------
    kind
        ``matt``: Lambertian board, paper, cloth; ``plastic``: paint or plastic, a body under a dielectric
        surface; ``metal``: a bare conductor; ``diffuser``: a sheet that scatters light evenly to both its sides;
        ``clear``: glass or clear plastic, which passes light straight on.
    base
        (351,) reflectance, 0 to 1, read-only: the colour as seen without its shine. Of a metal, the
        reflectance of its facets; of what is clear, the part of the light that one surface passes.
    roughness
        GGX alpha of the surface, 0 (mirror-smooth) to 1; 0 and without meaning where nothing shines.
    index
        Refractive index of the surface of a ``plastic`` or of what is ``clear``.
    transmittance
        (351,) of a ``diffuser``, what leaves on the other side; 0 for all else. With `base` at most 1.
    flakes
        Of the body of a ``plastic``, the share that metal makes, 0 to 1: flakes or a whole lacquered sheet.
    flake_roughness
        GGX alpha of that metal's facets as seen through a smooth surface.

    Raises
    ------
    ValueError
        If a value is out of its range.
    """

    kind: Kind
    base: Spectrum
    roughness: float = 0.0
    index: float = 1.5
    transmittance: Spectrum = field(default_factory=lambda: np.zeros(WAVELENGTHS_NM.shape))
    flakes: float = 0.0
    flake_roughness: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "base", _reflectance(self.base))
        object.__setattr__(self, "transmittance", _reflectance(self.transmittance))
        if self.kind not in get_args(Kind):
            raise ValueError(f"a finish is {', '.join(get_args(Kind))}, not {self.kind!r}")
        if self.kind != "diffuser" and self.transmittance.any():
            raise ValueError(f"light passes through a diffuser, not through {self.kind}")
        if (self.base + self.transmittance).max() > 1 + 1e-9:
            raise ValueError("a diffuser cannot send on more than arrives: reflectance and transmittance exceed 1")
        for name in ("roughness", "flakes", "flake_roughness"):
            if not 0 <= getattr(self, name) <= 1:
                raise ValueError(f"{name.replace('_', ' ')} lies between 0 and 1, not {getattr(self, name)}")
        if self.kind != "plastic" and self.flakes:
            raise ValueError(f"flakes lie under the surface of plastic, not of {self.kind}")
        if not (np.isfinite(self.index) and self.index > 1):
            raise ValueError(f"a refractive index lies above 1, not at {self.index}")

    @classmethod
    def board(cls, reflectance: float | Spectrum) -> Finish:
        """Return a Lambertian board of one reflectance, 0 to 1, or of a (351,) spectrum of them."""
        return cls("matt", _reflectance(reflectance))

    @classmethod
    def plastic(cls, base: float | Spectrum, gloss_units: float) -> Finish:
        """Return a paint or plastic of index 1.5 that reads `gloss_units` GU at 60 degrees, its own body included.

        Raises ValueError if no surface of that index has that gloss.
        """
        reflectance = _reflectance(base)
        return cls("plastic", reflectance, roughness_over(luminance_factor(reflectance), float(gloss_units)))

    @classmethod
    def metal(cls, base: float | Spectrum, roughness: float) -> Finish:
        """Return a conductor that reflects `base` straight on, of GGX alpha `roughness`."""
        return cls("metal", _reflectance(base), float(roughness))

    @classmethod
    def flaked(cls, base: float | Spectrum, gloss_units: float, flakes: float, flake_roughness: float) -> Finish:
        """Return a paint of metal or mica flakes: a share `flakes` of its body is a sheen, the rest is even."""
        roughness = roughness_for(float(gloss_units))
        return cls("plastic", _reflectance(base), roughness, flakes=flakes, flake_roughness=flake_roughness)

    @classmethod
    def clear(cls, passes: float | Spectrum, roughness: float = 0.0) -> Finish:
        """Return glass or clear plastic, of which two surfaces together pass the colour `passes`."""
        return cls("clear", np.sqrt(_reflectance(passes)), roughness)

    @classmethod
    def diffuser(cls, reflectance: float | Spectrum, transmittance: float | Spectrum) -> Finish:
        """Return a sheet that scatters light back and through, evenly over all directions."""
        return cls("diffuser", _reflectance(reflectance), transmittance=_reflectance(transmittance))

    def under_topcoat(self, gloss_units: float) -> Finish:
        """Return the finish with a clear coat sprayed over it that reads `gloss_units` GU at 60 degrees over black.

        Paint and plastic take the coat's roughness, since the coat is then their surface. What is matt is bare, and
        the coat wets it darker (`saunderson.wetted`). A metal becomes a sheen under the coat's own highlight; its
        facets, seen through the coat, spread light wider by the index (Belcour, "Efficient rendering of layered
        materials using an atomic decomposition with statistical operators", 2018). A diffuser is no part to spray.
        """
        coat = roughness_for(float(gloss_units))
        match self.kind:
            case "matt":
                return Finish("plastic", wetted(self.base), coat)
            case "metal":
                spread = min(1.0, self.index * self.roughness)
                return Finish("plastic", self.base, coat, flakes=1.0, flake_roughness=spread)
            case _:
                return replace(self, roughness=coat)

    @property
    def body_roughness(self) -> float:
        """The GGX alpha of the sheen that is not the surface's: of a metal's facets, or of flakes as seen through it.

        A rough surface spreads what passes it in and out, each time by (n - 1) of its slopes, where a mirrored ray
        turns by twice a facet's: variances add (Belcour 2018).
        """
        if self.kind == "metal":
            return self.roughness
        return float(min(1.0, np.hypot(self.flake_roughness, (self.index - 1) / np.sqrt(2) * self.roughness)))

    @property
    def second(self) -> Spectrum:
        """The colour, (351,), of what is not of the base's.

        Light that left a surface at once, that met several facets of a metal, or that passed a diffuser.
        """
        if self.kind == "metal":
            return late_reflectance(self.base, self.roughness)
        shines = self.kind in ("plastic", "clear")
        return self.transmittance if self.kind == "diffuser" else np.full_like(self.base, float(shines))

    def _key(self) -> tuple[object, ...]:
        numbers = (self.roughness, self.index, self.flakes, self.flake_roughness)
        return self.kind, self.base.tobytes(), self.transmittance.tobytes(), numbers

    def __eq__(self, other: object) -> bool:
        return self._key() == other._key() if isinstance(other, Finish) else NotImplemented

    def __hash__(self) -> int:
        return hash(self._key())


def luminance_factor(reflectance: Spectrum) -> float:
    """Return how light a reflectance is under D65, 0 to 1, to a hundredth."""
    return round(float(COLOUR_MATCHING[1] * D65 @ reflectance / (COLOUR_MATCHING[1] @ D65)), 2)


def _reflectance(values: ArrayLike) -> Spectrum:
    """Return a read-only copy of `values` on the grid, all of them within 0 to 1."""
    array = np.asarray(values, dtype=np.float64)
    if array.shape not in {(), WAVELENGTHS_NM.shape}:
        raise ValueError(f"a reflectance is one number or {WAVELENGTHS_NM.size} of them, not of shape {array.shape}")
    if not np.all((array >= 0) & (array <= 1)):
        raise ValueError(f"reflectance lies between 0 and 1, not {array.min():g} to {array.max():g}")
    return frozen(np.array(np.broadcast_to(array, WAVELENGTHS_NM.shape)))
