"""GGX microfacets (Walter et al., "Microfacet models for refraction through rough surfaces", 2007).

Directions are local, z along the normal of the surface; `half` is the normal of the facets that mirror `outgoing` into
`incident`; `alpha` is the GGX roughness.
"""

from __future__ import annotations

from typing import Any

from materials.surface.coherence import COHERENCE
from render.kernel.backend import mitsuba


def smith_g1(direction: Any, alpha: Any) -> Any:
    """Return the fraction of facets visible from a direction, Smith's G1."""
    import drjit as dr

    tangent_2 = (direction.x * direction.x + direction.y * direction.y) / dr.square(direction.z)
    return 2.0 / (1.0 + dr.sqrt(1.0 + alpha * alpha * tangent_2))


def reflection_pdf(outgoing: Any, half: Any, alpha: Any) -> Any:
    """Return the density (1/sr) of the incident direction when `half` is a sample of the normals visible to `outgoing`.

    D(half) G1(outgoing) / (4 cos(outgoing)). Times G1(incident) it is the BSDF times cosine of lossless facets.
    """
    import drjit as dr

    stretched = (half.x * half.x + half.y * half.y) / (alpha * alpha) + half.z * half.z
    distribution = dr.rcp(dr.pi * dr.square(alpha * stretched))
    return distribution * smith_g1(outgoing, alpha) / (4.0 * outgoing.z)


def sample_visible_normal(outgoing: Any, u: Any, v: Any, alpha: Any) -> Any:
    """Return a sample of the facet normals visible to `outgoing`.

    Dupuy and Benyoub, "Sampling visible GGX normals with spherical caps", 2023.
    """
    import drjit as dr

    mi = mitsuba()
    stretched = dr.normalize(mi.Vector3f(alpha * outgoing.x, alpha * outgoing.y, outgoing.z))
    z = dr.fma(1.0 - v, 1.0 + stretched.z, -stretched.z)
    sine, azimuth = dr.safe_sqrt(1.0 - z * z), dr.two_pi * u
    cap = mi.Vector3f(sine * dr.cos(azimuth) + stretched.x, sine * dr.sin(azimuth) + stretched.y, z + stretched.z)
    return dr.normalize(mi.Vector3f(alpha * cap.x, alpha * cap.y, dr.maximum(cap.z, 1e-9)))


def fresnel_dielectric(cosine: Any, index: Any) -> Any:
    """Return the unpolarized Fresnel reflectance of a dielectric from outside."""
    import drjit as dr

    c = _above_0(cosine)
    g = dr.sqrt(index * index - 1.0 + c * c)
    perpendicular, ratio = (g - c) / (g + c), (c * (g + c) - 1.0) / (c * (g - c) + 1.0)
    return 0.5 * perpendicular * perpendicular * (1.0 + ratio * ratio)


def coherent_fraction(cosine: Any, alpha: Any) -> Any:
    """Return the fraction of its light that a rough surface reflects as a mirror image.

    As `materials.surface.coherence` has it; `cosine` is of the angle of incidence.
    """
    import drjit as dr

    return dr.exp(-COHERENCE * alpha * dr.square(cosine))


def conductor_terms(cosine: Any, dip: tuple[Any, Any]) -> tuple[Any, Any]:
    """Return p and q such that p F0 + q is the reflectance of a conductor that reflects F0 at normal incidence.

    As `materials.surface.conductor` has it; `dip` are the numbers of a `FresnelDip`.
    """
    import drjit as dr

    rest = 1.0 - _above_0(cosine)
    fourth = dr.square(dr.square(rest))
    schlick, error = fourth * rest, (1.0 - rest) * fourth * dr.square(rest)
    offset, slope = dip
    return 1.0 - schlick - slope * error, schlick - offset * error


def _above_0(cosine: Any) -> Any:
    """Return a cosine, or 0 where it is less; not by `dr.clip`, which LLVM 23 now and then could not compile here."""
    import drjit as dr

    return dr.select(cosine > 0.0, cosine, 0.0)
