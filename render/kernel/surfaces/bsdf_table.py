"""The BSDFs of a scene's surfaces, as tables that lanes look up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from materials.surface.energy import MIN_ALPHA, directional_albedo, hemispherical_albedo, multiply_scattered
from materials.surface.finish import Finish
from render.description.scene import Surface
from render.kernel.backend import mitsuba
from render.kernel.paths.wavelengths import SampledWavelengths, SpectrumTable
from render.kernel.surface_point import ShadingFrame, SurfacePoint
from render.kernel.tables import float_table, integer_table

from .bsdf import CLEAR, DIFFUSER, KINDS, METAL, PLASTIC, Bsdf
from .interface_transmission import InterfaceTransmission
from .microfacets import coherent_fraction, fresnel_dielectric
from .opacities import Opacities
from .textures import Textures

BELOW_1 = 1.0 - 2.0**-24
"""The largest single-precision number under 1."""


class BsdfTable:
    """The BSDFs of a scene's surfaces, a row for each distinct finish; tints are at `wavelengths` a path."""

    def __init__(self, surfaces: Sequence[Surface], wavelengths: int) -> None:
        finishes = [surface.finish for surface in surfaces]
        washes = [surface.wash.finish if surface.wash else surface.finish for surface in surfaces]
        distinct = list(dict.fromkeys([*finishes, *washes])) or [Finish.board(0.0)]
        rows, wash_rows = ([distinct.index(finish) for finish in column] or [0] for column in (finishes, washes))
        self._row_of_surface = integer_table(rows)
        self._wash_row_of_surface = integer_table(wash_rows) if washes != finishes else None
        self._tints = SpectrumTable([(finish.base, finish.secondary_tint) for finish in distinct], wavelengths)
        self._parameters = float_table([_parameters(finish) for finish in distinct])
        self._transmission = InterfaceTransmission(distinct)
        self.textures = Textures.of(surfaces, wavelengths)
        self.opacities = Opacities.of(surfaces)

    def choose_washed(self, point: SurfacePoint, surface: Any, sample: Any, active: Any) -> tuple[Any, Any]:
        """Return whether a path meets the wash at its point, and `sample` in [0, 1), which chose it, as good as new.

        A wash covers a fraction of the surface about each point, by a finish of its own: so many of the paths meet it.
        """
        import drjit as dr

        if self.textures is None or self._wash_row_of_surface is None:
            return mitsuba().Bool(False), sample
        coverage = self.textures.wash_coverage(point, surface, active)
        is_washed = sample < coverage
        within = dr.select(is_washed, sample / coverage, (sample - coverage) / (1.0 - coverage))
        return is_washed, dr.minimum(within, BELOW_1)

    def bsdf(
        self, point: SurfacePoint, surface: Any, outgoing: Any, wavelengths: SampledWavelengths, active: Any, *,
        is_washed: Any,
    ) -> Bsdf:  # fmt: skip
        """Return the BSDF of each lane's surface at a point of it, or of its wash, for a local direction `outgoing`."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self._row_of_surface, surface, active)
        if self._wash_row_of_surface is not None:
            row = dr.select(is_washed, dr.gather(mi.UInt32, self._wash_row_of_surface, surface, active), row)
        alpha, index, kind, multiple_scale = dr.gather(mi.Vector4f, self._parameters, 2 * row, active)
        body_alpha, flakes, dip_offset, dip_slope = dr.gather(mi.Vector4f, self._parameters, 2 * row + 1, active)
        primary, secondary = self._tints.lookup(row, wavelengths, active, spectra=2)
        if self.textures is not None:
            primary = self.textures.reflectance(primary, point, surface, wavelengths, active & ~is_washed)
            lost = multiple_scale * multiple_scale
            secondary = [
                dr.select(kind == METAL, multiply_scattered(colour, lost, (dip_offset, dip_slope)), tint)
                for colour, tint in zip(primary, secondary, strict=True)
            ]
        transmission = self._transmission.lookup(row, outgoing.z)
        # lobes are sampled about in proportion to what they reflect, at the mean of the wavelengths
        fresnel = fresnel_dielectric(outgoing.z, index)
        mean_primary, mean_secondary = (sum(tint) / wavelengths.count for tint in (primary, secondary))
        specular = fresnel / dr.maximum(fresnel + (1.0 - fresnel) * mean_primary, 1e-6)
        transmitted = mean_secondary / dr.maximum(mean_primary + mean_secondary, 1e-6)
        interface_probability = dr.select((kind == PLASTIC) | (kind == CLEAR), specular, 0.0)
        interface_probability = dr.select(kind == DIFFUSER, transmitted, interface_probability)
        facet_probability = dr.select(kind == METAL, 1.0 - transmission * multiple_scale, flakes)
        return Bsdf(
            self._transmission, row, outgoing, transmission, primary, secondary, alpha, index, kind,
            coherent_fraction(outgoing.z, alpha), (dip_offset, dip_slope), interface_probability, body_alpha, flakes,
            facet_probability,
        )  # fmt: skip

    def is_clear(self, surface: Any, active: Any) -> Any:
        """Return whether each lane's surface is clear."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self._row_of_surface, surface, active)
        _, _, kind, _ = dr.gather(mi.Vector4f, self._parameters, 2 * row, active)
        return kind == CLEAR

    def transmittance(
        self, point: SurfacePoint, surface: Any, wavelengths: SampledWavelengths, active: Any
    ) -> list[Any]:
        """Return the fraction of the light that goes straight through a surface, at each wavelength; opaque: 0."""
        import drjit as dr

        mi = mitsuba()
        row = dr.gather(mi.UInt32, self._row_of_surface, surface, active)
        through = self._transmission.lookup(row, ShadingFrame(point).to_local(point.outgoing).z)
        (tint,) = self._tints.lookup(row, wavelengths, active)
        _, _, kind, _ = dr.gather(mi.Vector4f, self._parameters, 2 * row, active)
        through = dr.select(kind == CLEAR, through, 0.0)
        if self.opacities is None:
            return [through * value for value in tint]
        opacity = self.opacities.lookup(point, surface, active)
        return [dr.lerp(1.0, through * value, opacity) for value in tint]


def _parameters(finish: Finish) -> list[float]:
    """Return the 8 parameters of a row.

    GGX alpha; refractive index; kind; of a metal, the factor that makes T the albedo of its multiple scattering; GGX
    alpha and fraction of metal facets in the body; the two numbers of a metal's `FresnelDip`.
    """
    loss = 1.0 - hemispherical_albedo(directional_albedo(finish.roughness)) if finish.kind == "metal" else 0.0
    alpha, body_alpha = (max(alpha, MIN_ALPHA) for alpha in (finish.roughness, finish.body_roughness))
    return [alpha, finish.index, KINDS[finish.kind], float(np.sqrt(loss)), body_alpha, finish.flake_fraction,
            *finish.dip]  # fmt: skip
