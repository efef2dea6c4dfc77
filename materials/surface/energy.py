"""Energy at rough surfaces: the albedo of single scattering, and coupled diffuse lobes that return the rest.

A GGX surface with single scattering only loses the light that other facets mask and shadow. Kulla and Conty
("Revisiting physically based shading at Imageworks", SIGGRAPH 2017 course) return it by a second, diffuse lobe,
(1 - E(in)) (1 - E(out)) / (pi (1 - E_mean)), with E the directional albedo of the first: both together reflect all the
light of a white furnace at every angle, and are reciprocal. The same coupling (Kelemen and Szirmay-Kalos, "A
microfacet based coupled specular-matte BRDF model", 2001) serves for the body under a dielectric surface.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Final, NamedTuple

import numpy as np

from materials.arrays import Array, frozen
from materials.light.spectra import Spectrum

from .coherence import coherent_fraction, scattered_fraction
from .conductor import FresnelDip, hemispherical_reflectance
from .fresnel import fresnel
from .microfacets import smith_g1

MIN_ALPHA: Final = 1e-3
"""GGX alpha; a smoother surface counts as this."""
COSINES: Final = frozen(np.linspace(0.0, 1.0, 128))
"""The cosines to the normal at which albedos and coupling factors are tabulated."""
_AZIMUTH: Final = (np.arange(24) + 0.5) / 24 * np.pi  # the other half is its mirror image
_COS_AZIMUTH, _SIN_AZIMUTH = np.cos(_AZIMUTH), np.sin(_AZIMUTH)
_ROOT: Final = (np.arange(200) + 0.5) / 200
# dense about height 1, where facets are steep: smooth surfaces have few of them, and those lose the most
_HEIGHT: Final = 1 - _ROOT**3
_WEIGHTS: Final = 3 * _ROOT**2 / (_ROOT.size * _AZIMUTH.size)
_ROUNDS: Final = 200


@lru_cache(maxsize=256)
def directional_albedo(roughness: float, index: float | None = None) -> Array:
    """Return the directional albedo of a surface's specular lobe at `COSINES`, (128,) within 0 to 1, read-only.

    Parameters
    ----------
    roughness
        GGX alpha, 0 to 1.
    index
        Refractive index of a dielectric, whose facets reflect after Fresnel, and in part as a mirror image
        (`coherence`); without it facets reflect all.

    Raises
    ------
    ValueError
        If `roughness` is not between 0 and 1.

    Notes
    -----
    The mean over visible normals (Dupuy and Benyoub, "Sampling visible GGX normals with spherical caps", 2023) of the
    facets' reflectance times Smith's G1 of the outgoing direction: light that is scattered once.
    """
    if not 0 <= roughness <= 1:
        raise ValueError(f"roughness lies between 0 and 1, not {roughness}")
    return frozen(np.array([_albedo(cosine, max(roughness, MIN_ALPHA), index) for cosine in _off_horizon()]))


def hemispherical_albedo(albedo: Array) -> float:
    """Return the hemispherical mean, 2 times the integral of E c dc, of an albedo at `COSINES`, linear between them."""
    low, high, step = albedo[:-1], albedo[1:], COSINES[1]
    cells = COSINES[:-1] * step / 2 * (low + high) + step**2 / 6 * (low + 2 * high)
    return float(2 * cells.sum())


def diffuse_coupling(albedo: Array) -> Array:
    """Return the coupling factor T(c) = (1 - E(c)) / sqrt(1 - E_mean) at `COSINES` of an albedo E there.

    The diffuse lobe is T(in) T(out) cos / pi; its albedo is 1 - E(c), which with the first lobe's makes 1. It vanishes
    where E is 1 throughout.
    """
    lost = max(1.0 - hemispherical_albedo(albedo), 1e-9)
    return np.asarray((1.0 - albedo) / np.sqrt(lost))


def multiple_scattering_tint(normal: Spectrum, roughness: float, dip: FresnelDip) -> Spectrum:
    """Return the tint, (351,), of light that leaves a metal after two reflections or more.

    F2 E / (1 - F (1 - E)) for the hemispherical reflectance F of facets that reflect `normal` at normal incidence and
    the hemispherical albedo E of lossless facets (Kulla and Conty 2017): 1 for a white metal, deeper than F for a
    coloured one.
    """
    lost = 1 - hemispherical_albedo(directional_albedo(roughness))
    return np.asarray(multiply_scattered(normal, lost, dip))


def multiply_scattered(normal: Any, lost: Any, dip: tuple[Any, Any]) -> Any:
    """Return F2 (1 - l) / (1 - F l) of a metal's F, with l = 1 - E the part `lost` to single scattering.

    Arrays, or kernel lanes; arguments else as for `multiple_scattering_tint`.
    """
    reflectance = hemispherical_reflectance(normal, dip)
    return reflectance * reflectance * (1.0 - lost) / (1.0 - reflectance * lost)


def body_coupling(roughness: float, index: float, flake_fraction: float, flake_roughness: float) -> Array:
    """Return the coupling factor T(c) at `COSINES` of a body under a dielectric surface: its lobe L is T(in) L T(out).

    Parameters
    ----------
    roughness, index
        Of the surface, as for `directional_albedo`.
    flake_fraction
        The fraction of L that is a specular lobe of lossless metal facets, 0 to 1; the rest is Lambertian, cos / pi.
    flake_roughness
        GGX alpha of those facets.

    Notes
    -----
    T solves, at every angle, that a white body returns all the light that the surface transmits: T(in) times the
    integral of L T(out) is 1 - E(in). For a Lambertian body that is `diffuse_coupling`. T also makes up for the single
    scattering of the flakes.
    """
    transmitted = 1.0 - directional_albedo(roughness, index)
    if flake_fraction == 0.0:
        return diffuse_coupling(1.0 - transmitted)
    lobe = flake_fraction * _specular_matrix(flake_roughness) + (1 - flake_fraction) * _lambertian_matrix()
    coupling = np.sqrt(transmitted)
    for _ in range(_ROUNDS):  # Sinkhorn and Knopp 1967, for a reciprocal lobe
        coupling = np.sqrt(coupling * transmitted / np.maximum(lobe @ coupling, 1e-12))
    return frozen(coupling)


@lru_cache(maxsize=64)
def _specular_matrix(roughness: float) -> Array:
    """Return the light that lossless facets reflect between two of `COSINES`, (128, 128): rows sum to the albedo."""
    rows = []
    for cosine in _off_horizon():
        reflections = _reflections(cosine, max(roughness, MIN_ALPHA))
        place = np.clip(reflections.outgoing, 0.0, 1.0) * (len(COSINES) - 1)
        cell = np.minimum(place.astype(int), len(COSINES) - 2)
        rest = place - cell
        rows.append(
            np.bincount(cell.ravel(), (reflections.weights * (1 - rest)).ravel(), len(COSINES))
            + np.bincount(cell.ravel() + 1, (reflections.weights * rest).ravel(), len(COSINES))
        )
    return frozen(np.array(rows))


def _lambertian_matrix() -> Array:
    """Return the light that a white Lambertian body scatters between each two of `COSINES`: 2 c dc, linear."""
    step = float(COSINES[1])
    weights = 2 * COSINES * step
    weights[0], weights[-1] = step**2 / 3, step * (1 - step / 3)
    return np.tile(weights, (len(COSINES), 1))


def _off_horizon() -> list[float]:
    """Return `COSINES` with 1e-4 in place of 0, where no facet is visible."""
    return [max(float(cosine), 1e-4) for cosine in COSINES]


def _albedo(cosine: float, alpha: float, index: float | None) -> float:
    reflections = _reflections(cosine, alpha)
    if index is None:
        return float(reflections.weights.sum())
    reflected = fresnel(np.clip(reflections.at_facet, 1e-6, 1.0), index)
    weights = reflections.weights * scattered_fraction(cosine, reflections.outgoing, alpha)
    mirrored = fresnel(cosine, index) * coherent_fraction(cosine, alpha)
    # within half a degree of the horizon the sum can pass 1 by a thousandth, of a rough surface of index 2 and above
    return min(1.0, float(mirrored + (reflected * weights).sum()))


class _Reflections(NamedTuple):
    """Light from one direction mirrored by visible facets, each (azimuths, heights).

    Cosines of the outgoing direction to the surface normal and to the facet normal, and the fraction of the light.
    """

    outgoing: Array
    at_facet: Array
    weights: Array


def _reflections(cosine: float, alpha: float) -> _Reflections:
    """Return the reflections of light from the angle of `cosine`, over a regular grid of visible normals."""
    sine = np.sqrt(1 - cosine**2)
    across, up = np.array([alpha * sine, cosine]) / np.hypot(alpha * sine, cosine)  # stretched to a smooth hemisphere
    z = (1 - _HEIGHT) * (1 + up) - up
    level = np.sqrt(np.maximum(1 - z**2, 0.0))
    x, y, z = alpha * (np.outer(_COS_AZIMUTH, level) + across), alpha * np.outer(_SIN_AZIMUTH, level), z + up
    length = np.sqrt(x * x + y * y + z * z)
    at_facet = (sine * x + cosine * z) / length
    outgoing = 2 * at_facet * z / length - cosine
    return _Reflections(outgoing, at_facet, smith_g1(outgoing, alpha) * _WEIGHTS)
