"""Surface finishes: the parameters of the reflection model, and what a topcoat changes in them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final, Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import frozen
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum, luminance_factor

from .conductor import NO_DIP, FresnelDip
from .energy import multiple_scattering_tint
from .fresnel import normal_reflectance
from .glossmeter import paint_roughness_from_gloss, roughness_from_gloss
from .saunderson import coated_reflectance

COAT_INDEX: Final = 1.5
"""Refractive index of clear coats."""
Kind: TypeAlias = Literal["matt", "plastic", "metal", "diffuser", "clear"]


@dataclass(frozen=True, eq=False)
class Finish:
    """The finish of a surface. Equal, and of equal hash, when every value is.

    Attributes
    ----------
    kind
        ``matt``: Lambertian board, paper, cloth; ``plastic``: paint or plastic, a body under a dielectric
        surface; ``metal``: a bare conductor; ``diffuser``: a sheet that scatters light evenly to both sides;
        ``clear``: glass or clear plastic, which transmits light unscattered.
    base
        (351,) reflectance of the body, 0 to 1, read-only, without the specular reflection. Of a metal, the reflectance
        of its facets at normal incidence; of what is clear, the transmittance of half
        a pane, without the reflection of its surface.
    roughness
        GGX alpha of the surface, 0 (mirror-smooth) to 1; 0 and without meaning where there is no specular lobe.
    index
        Refractive index of a ``plastic`` or ``clear`` surface.
    transmittance
        (351,) diffuse transmittance of a ``diffuser``; 0 for all else. With `base` at most 1.
    flake_fraction
        The fraction, 0 to 1, of the body of a ``plastic`` that reflects as metal: flakes, or 1 for a lacquered metal.
    flake_roughness
        GGX alpha of that metal as seen through a smooth surface.
    dip
        How a bare ``metal`` reflects towards grazing angles. Under a coat the light is refracted to within 42 degrees
        of the normal, where the reflectance is that at normal incidence.

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
    flake_fraction: float = 0.0
    flake_roughness: float = 0.0
    dip: FresnelDip = NO_DIP

    def __post_init__(self) -> None:
        object.__setattr__(self, "base", _reflectance(self.base))
        object.__setattr__(self, "transmittance", _reflectance(self.transmittance))
        if self.kind not in get_args(Kind):
            raise ValueError(f"a finish is {', '.join(get_args(Kind))}, not {self.kind!r}")
        if self.kind != "diffuser" and self.transmittance.any():
            raise ValueError(f"light passes through a diffuser, not through {self.kind}")
        if (self.base + self.transmittance).max() > 1 + 1e-9:
            raise ValueError("a diffuser cannot scatter more than arrives: reflectance and transmittance exceed 1")
        for name in ("roughness", "flake_fraction", "flake_roughness"):
            if not 0 <= getattr(self, name) <= 1:
                raise ValueError(f"{name.replace('_', ' ')} lies between 0 and 1, not {getattr(self, name)}")
        if self.kind != "plastic" and self.flake_fraction:
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
        luminance = round(luminance_factor(reflectance), 2)  # 0.01 is 0.02 GU, and equal values are solved once
        return cls("plastic", reflectance, paint_roughness_from_gloss(float(gloss_units), luminance))

    @classmethod
    def metal(cls, base: float | Spectrum, roughness: float, dip: FresnelDip = NO_DIP) -> Finish:
        """Return a conductor of reflectance `base` at normal incidence and GGX alpha `roughness`.

        Towards grazing angles it rises after Schlick, less `dip`.
        """
        return cls("metal", _reflectance(base), float(roughness), dip=dip)

    @classmethod
    def flake_paint(
        cls, base: float | Spectrum, gloss_units: float, flake_fraction: float, flake_roughness: float
    ) -> Finish:
        """Return a paint with metal or mica flakes that reads `gloss_units` GU at 60 degrees over black."""
        roughness = roughness_from_gloss(float(gloss_units))
        return cls(
            "plastic", _reflectance(base), roughness, flake_fraction=flake_fraction, flake_roughness=flake_roughness
        )

    @classmethod
    def clear(cls, transmittance: float | Spectrum, index: float = 1.5) -> Finish:
        """Return glass or clear plastic, of which a pane of two surfaces has the total `transmittance` straight on.

        That is what data sheets state (ISO 13468-1, ASTM D1003): the losses by reflection at both surfaces, R each, are
        part of it. A pane with no loss inside, (1 - R) / (1 + R) (Stokes 1862), is the clearest that there is.
        """
        reflectance = normal_reflectance(index)
        lossless = (1 - reflectance) / (1 + reflectance)
        return cls("clear", np.sqrt(np.minimum(1.0, _reflectance(transmittance) / lossless)), index=index)

    @classmethod
    def diffuser(cls, reflectance: float | Spectrum, transmittance: float | Spectrum) -> Finish:
        """Return a sheet that scatters light back and through, evenly over all directions."""
        return cls("diffuser", _reflectance(reflectance), transmittance=_reflectance(transmittance))

    def under_topcoat(self, gloss_units: float) -> Finish:
        """Return the finish under a clear topcoat that reads `gloss_units` GU at 60 degrees over black.

        Paint and plastic take the coat's roughness, since the coat is then their surface. On a matt finish the coat
        makes the base darker and deeper (`saunderson.coated_reflectance`). A metal becomes a metallic body under the
        coat's specular lobe; seen through the coat its lobe is wider by the index (Belcour, "Efficient rendering of
        layered materials using an atomic decomposition with statistical operators", 2018). Diffusers are not sprayed.
        """
        coat = roughness_from_gloss(float(gloss_units))
        match self.kind:
            case "matt":
                return Finish("plastic", coated_reflectance(self.base), coat)
            case "metal":
                widened = min(1.0, self.index * self.roughness)
                return Finish("plastic", self.base, coat, flake_fraction=1.0, flake_roughness=widened)
            case _:
                return replace(self, roughness=coat, index=COAT_INDEX)

    @property
    def body_roughness(self) -> float:
        """GGX alpha of the metallic lobe: of a metal's facets, or of flakes as seen through the surface.

        A rough surface refracts light on the way in and out, which spreads it by (n - 1) of its slopes each time where
        reflection spreads it by 2: variances add (Belcour 2018).
        """
        if self.kind == "metal":
            return self.roughness
        return float(min(1.0, np.hypot(self.flake_roughness, (self.index - 1) / np.sqrt(2) * self.roughness)))

    @property
    def secondary_tint(self) -> Spectrum:
        """Tint of the secondary lobe, (351,): multiple scattering or transmission; 0 where there is none."""
        if self.kind == "metal":
            return multiple_scattering_tint(self.base, self.roughness, self.dip)
        return self.transmittance

    def _key(self) -> tuple[object, ...]:
        numbers = (self.roughness, self.index, self.flake_fraction, self.flake_roughness, *self.dip)
        return self.kind, self.base.tobytes(), self.transmittance.tobytes(), numbers

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
