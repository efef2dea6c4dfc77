"""The BSDFs of finishes, evaluated once for all wavelengths of a path.

A BSDF times the cosine of the incident direction is

    primary_tint * primary + secondary_tint * secondary + achromatic:

the tints depend on the wavelength alone, the three lobes on the directions alone.

========  ================================  ====================================================  ==============
kind      primary lobe, tinted by the base  secondary lobe                                        achromatic
========  ================================  ====================================================  ==============
matt      Lambertian, cos / pi              none                                                  none
plastic   body, T(outgoing) L T(incident)   none                                                  specular
metal     GGX, what follows the base        multiple scattering, T(outgoing) T(incident) cos / pi  GGX, the rise
diffuser  Lambertian reflection             Lambertian transmission                               none
clear     none                              none                                                  specular
========  ================================  ====================================================  ==============

L, the lobe of a plastic's body, is Lambertian, or lossless GGX for the fraction of it that is metal flakes. T is the
transmission factor of `InterfaceTransmission`. The specular lobe is GGX and, of light towards grazing, a mirror image
(`materials.surface.coherence`), both with the Fresnel reflectance of a dielectric; that of a metal's facets is a
multiple of the base plus a rise towards grazing (`materials.surface.conductor`). Light that goes straight through a
clear surface is not in the BSDF.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from materials.surface.energy import MIN_ALPHA
from render.kernel.backend import mitsuba

from .interface_transmission import InterfaceTransmission
from .microfacets import (
    coherent_fraction,
    conductor_terms,
    fresnel_dielectric,
    reflection_pdf,
    sample_visible_normal,
    smith_g1,
)

MATT, PLASTIC, METAL, DIFFUSER, CLEAR = range(5)
KINDS = {"matt": MATT, "plastic": PLASTIC, "metal": METAL, "diffuser": DIFFUSER, "clear": CLEAR}


@dataclass
class BsdfValue:
    """The three lobes times cosine, and the density (1/sr) with which the direction is sampled."""

    primary: Any
    secondary: Any
    achromatic: Any
    pdf: Any


@dataclass
class Bsdf:
    """The BSDF at a surface point for a fixed `outgoing` direction, local to the shading frame.

    Attributes
    ----------
    transmission_table, row, transmission
        The table of T and the finish's row in it; T(outgoing).
    primary_tint, secondary_tint
        Factors of the first two lobes at each wavelength.
    alpha, index, kind
        GGX roughness and refractive index of the surface; the finish's kind, one of `KINDS`.
    coherent
        Fraction of the specular light of a dielectric surface that is a mirror image, and the probability that
        sampling of that lobe chooses it.
    dip
        The numbers of a metal's `FresnelDip`.
    interface_probability
        Probability that sampling chooses the specular lobe of a dielectric surface, or the transmission of a diffuser.
    body_alpha, flakes
        GGX roughness of the metal facets or flakes; the fraction of a plastic's body that is flakes.
    facet_probability
        Probability that sampling otherwise chooses metal facets or flakes, and not a Lambertian lobe.
    mirror_alpha
        GGX roughness of the mirror image.
    """

    transmission_table: InterfaceTransmission
    row: Any
    outgoing: Any
    transmission: Any
    primary_tint: list[Any]
    secondary_tint: list[Any]
    alpha: Any
    index: Any
    kind: Any
    coherent: Any
    dip: tuple[Any, Any]
    interface_probability: Any
    body_alpha: Any
    flakes: Any
    facet_probability: Any
    mirror_alpha: Any = MIN_ALPHA

    @property
    def is_clear(self) -> Any:
        """Whether light passes straight through the surface."""
        return self.kind == CLEAR

    def evaluate(self, incident: Any) -> BsdfValue:
        """Return the BSDF's lobes for a local incident direction."""
        import drjit as dr

        half = dr.normalize(self.outgoing + incident)
        specular, specular_pdf = self._specular(incident, half)
        facet_pdf = reflection_pdf(self.outgoing, half, self.body_alpha)
        facets = facet_pdf * smith_g1(incident, self.body_alpha)
        of_base, rise = conductor_terms(dr.dot(incident, half), self.dip)
        lambertian = dr.abs(incident.z) * dr.inv_pi  # a BSDF times cosine, and its own density
        transmission = self.transmission * self.transmission_table.lookup(self.row, incident.z)
        is_metal, is_diffuser = self.kind == METAL, self.kind == DIFFUSER
        faces_outgoing = self.outgoing.z > 0.0
        reflects = faces_outgoing & (incident.z > 0.0)
        transmits = faces_outgoing & ~(incident.z > 0.0) & is_diffuser

        primary = dr.select(is_metal, facets * of_base, transmission * dr.lerp(lambertian, facets, self.flakes))
        achromatic = dr.select((self.kind == PLASTIC) | self.is_clear, specular, 0.0)
        achromatic = dr.select(is_metal, facets * rise, achromatic)
        pdf = dr.lerp(dr.lerp(lambertian, facet_pdf, self.facet_probability), specular_pdf, self.interface_probability)
        pdf = dr.select(is_diffuser, lambertian * (1.0 - self.interface_probability), pdf)
        pdf = dr.select(self.is_clear, specular_pdf * self.interface_probability, pdf)
        transmitted_pdf = lambertian * self.interface_probability
        return BsdfValue(
            dr.select(reflects & ~self.is_clear, primary, 0.0),
            dr.select(reflects & is_metal, transmission * lambertian, dr.select(transmits, lambertian, 0.0)),
            dr.select(reflects, achromatic, 0.0),
            dr.select(reflects, pdf, dr.select(transmits, transmitted_pdf, 0.0)),
        )

    def _specular(self, incident: Any, half: Any) -> tuple[Any, Any]:
        """Return the specular lobe of a dielectric surface, and the density (1/sr) with which it is sampled."""
        import drjit as dr

        rough_pdf, mirror_pdf = (
            reflection_pdf(self.outgoing, half, alpha) for alpha in (self.alpha, self.mirror_alpha)
        )
        coherent = coherent_fraction(incident.z, self.alpha)
        # geometric means of the fractions at both directions, so that the lobes are reciprocal
        rough = rough_pdf * smith_g1(incident, self.alpha) * dr.sqrt((1.0 - self.coherent) * (1.0 - coherent))
        mirror = mirror_pdf * smith_g1(incident, self.mirror_alpha) * dr.sqrt(self.coherent * coherent)
        fresnel = fresnel_dielectric(dr.dot(incident, half), self.index)
        return fresnel * (rough + mirror), dr.lerp(rough_pdf, mirror_pdf, self.coherent)

    def sample(self, lobe: Any, u: Any, v: Any) -> Any:
        """Return a local incident direction for three samples in [0, 1), the first of which chooses the lobe."""
        import drjit as dr

        mi = mitsuba()
        lambertian = mi.warp.square_to_cosine_hemisphere(mi.Point2f(u, v))
        on_interface = lobe < self.interface_probability
        on_facets = (lobe - self.interface_probability) < self.facet_probability * (1.0 - self.interface_probability)
        on_mirror = lobe < self.interface_probability * self.coherent
        alpha = dr.select(on_interface, dr.select(on_mirror, self.mirror_alpha, self.alpha), self.body_alpha)
        half = sample_visible_normal(self.outgoing, u, v, alpha)
        mirrored = half * (2.0 * dr.dot(self.outgoing, half)) - self.outgoing
        is_diffuser = self.kind == DIFFUSER
        lambertian.z = dr.select(on_interface & is_diffuser, -lambertian.z, lambertian.z)
        return dr.select((on_interface | on_facets) & ~is_diffuser, mirrored, lambertian)
