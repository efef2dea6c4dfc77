"""The kernel's BSDFs of single finishes, and the albedos of facets by quadrature."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from materials.arrays import Array
from materials.surface.coherence import coherent_fraction, scattered_fraction
from materials.surface.conductor import NO_DIP, FresnelDip, approximate_fresnel
from materials.surface.finish import Finish
from materials.surface.fresnel import fresnel
from materials.surface.microfacets import smith_g1
from render.description.scene import Surface
from render.kernel.backend import mitsuba
from render.kernel.paths.wavelengths import SampledWavelengths
from render.kernel.surface_point import SurfacePoint
from render.kernel.surfaces.bsdf import Bsdf
from render.kernel.surfaces.bsdf_table import BsdfTable

WAVELENGTHS: Final = 4
_GRID: Final = 512


def bsdf_of(finish: Finish, outgoing: Any) -> Bsdf:
    """Return the BSDF of a finish for local outgoing directions."""
    mi = mitsuba()
    count = outgoing.shape[1]
    wavelengths = SampledWavelengths(WAVELENGTHS, mi.UInt32(np.zeros(count, np.uint32)))
    surface = mi.UInt32(np.zeros(count, np.uint32))
    plate = Surface("plate", "card", np.eye(3, dtype=np.float32), None, np.array([[0, 1, 2]], np.int32), finish)
    at = mi.Vector3f(0.0)
    point = SurfacePoint(at, at, at, outgoing, surface, mi.Vector2f(0.0))
    table = BsdfTable([plate], WAVELENGTHS)
    return table.bsdf(point, surface, outgoing, wavelengths, mi.Bool(True), is_washed=mi.Bool(False))


def metal_facets(normal: float, alpha: float, cosine: float, dip: FresnelDip = NO_DIP) -> float:
    """Return the directional albedo of a metal's facets."""
    at_facet, incident = _visible_facets(alpha, cosine)
    return float((approximate_fresnel(normal, at_facet, dip) * smith_g1(incident, alpha)).mean())


def dielectric_albedo(alpha: float, index: float, cosine: float) -> float:
    """Return the directional albedo of a dielectric surface: of its facets and its mirror image."""
    at_facet, incident = _visible_facets(alpha, cosine)
    fraction = scattered_fraction(cosine, np.maximum(incident, 0.0), alpha)
    scattered = fresnel(np.maximum(at_facet, 1e-6), index) * smith_g1(incident, alpha) * fraction
    return float(scattered.mean() + fresnel(cosine, index) * coherent_fraction(cosine, alpha))


def _visible_facets(alpha: float, cosine: float) -> tuple[Array, Array]:
    """Return the cosine at the facet and of the incident direction, for even samples of facets visible to a direction.

    Heitz, "Sampling the GGX distribution of visible normals", JCGT 7(4), 2018: another way than the product's.
    """
    u, v = np.meshgrid(*[(np.arange(_GRID) + 0.5) / _GRID] * 2)
    out = np.array([np.sqrt(1 - cosine**2), 0.0, cosine])
    stretched = out * [alpha, alpha, 1]
    stretched /= np.linalg.norm(stretched)
    first, second = np.array([0.0, 1.0, 0.0]), np.cross(stretched, [0.0, 1.0, 0.0])
    radius, turn = np.sqrt(u), 2 * np.pi * v
    x, y = radius * np.cos(turn), radius * np.sin(turn)
    share = (1 + stretched[2]) / 2
    y = (1 - share) * np.sqrt(1 - x**2) + share * y
    z = np.sqrt(np.maximum(0, 1 - x**2 - y**2))
    half = (x[..., None] * first + y[..., None] * second + z[..., None] * stretched) * [alpha, alpha, 1]
    half /= np.linalg.norm(half, axis=-1, keepdims=True)
    at_facet = np.asarray(half @ out)
    return at_facet, np.asarray(2 * at_facet * half[..., 2] - cosine)
