"""The glossmeter of ISO 2813: gloss units from roughness, and roughness from gloss units.

The meter sends a beam of a small angular spread onto a surface and measures the flux within a rectangular receptor
about the mirror direction. Polished black glass of index 1.567 reads 100. The surface here is a rough dielectric, GGX
microfacets under the exact Fresnel equations and the mirror image of `coherence`, over a black or a Lambertian body.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array, frozen

from .coherence import coherent_fraction, scattered_fraction
from .fresnel import fresnel, hemispherical_fresnel
from .microfacets import ggx_distribution, smith_g1

BLACK_GLASS_INDEX: Final = 1.567
"""Refractive index of the black glass that reads 100 GU at every angle (ISO 2813)."""


class Aperture(NamedTuple):
    """A rectangular angular opening, degrees in the plane of incidence and across it."""

    in_plane_deg: float
    across_deg: float


SOURCE: Final = Aperture(0.75, 2.5)
"""The image of the source (ISO 2813)."""
RECEPTORS: Final = {20.0: Aperture(1.80, 3.60), 60.0: Aperture(4.40, 11.70), 85.0: Aperture(4.00, 6.00)}
"""The receptor by angle of incidence in degrees (ISO 2813)."""

_SOURCE_NODES: Final = 4
_RECEPTOR_NODES: Final = 40
# a smoother surface counts as smooth: its lobe is a hundredth of a degree wide, nothing beside the receptor
_MIN_ALPHA: Final = 1e-4


@lru_cache(maxsize=1024)
def gloss_units(roughness: float, index: float = 1.5, angle_deg: float = 60.0, base: float = 0.0) -> float:
    """Return the gloss, GU, of a rough dielectric over a body, black by default.

    Parameters
    ----------
    roughness
        GGX alpha, 0 to 1; below .0001 counts as smooth.
    index
        Refractive index of the surface, above 1.
    angle_deg
        Geometry of the meter: 20, 60 or 85 degrees.
    base
        Reflectance of a Lambertian body under the surface, 0 to 1; a white one adds 2 GU at 60 degrees.

    Raises
    ------
    ValueError
        If an argument is outside those values.
    """
    if not 0 <= roughness <= 1:
        raise ValueError(f"roughness lies between 0 and 1, not {roughness}")
    _check_index(index)
    if not 0 <= base <= 1:
        raise ValueError(f"reflectance lies between 0 and 1, not {base}")
    if angle_deg not in RECEPTORS:
        raise ValueError(f"a glossmeter measures at 20, 60 or 85 degrees, not {angle_deg}")
    fraction = specular_fraction(roughness, index, angle_deg, RECEPTORS[angle_deg])
    return 100 * (fraction + base * _body_fraction(index, angle_deg)) / _standard(angle_deg)


@lru_cache(maxsize=1024)
def roughness_from_gloss(gloss: float, index: float = 1.5) -> float:
    """Return the roughness (GGX alpha) of a dielectric over black that reads `gloss` GU at 60 degrees.

    Raises
    ------
    ValueError
        If `gloss` is not positive, above that of a smooth surface of `index` or below that of the roughest one.
    """
    _check_index(index)
    highest, lowest = gloss_units(0.0, index), gloss_units(1.0, index)
    if not gloss > 0:
        raise ValueError(f"gloss must be above 0 gloss units, not {gloss}")
    if gloss > highest:
        raise ValueError(f"{gloss} gloss units are out of reach: a smooth surface of index {index} has {highest:.1f}")
    if gloss < lowest:
        raise ValueError(f"{gloss} gloss units are out of reach: the roughest surface here has {lowest:.2f}")
    if gloss >= gloss_units(_MIN_ALPHA, index):
        return 0.0
    return _solve_roughness(gloss, index)


def paint_roughness_from_gloss(gloss: float, base: float, index: float = 1.5) -> float:
    """Return the roughness (GGX alpha) of paint of reflectance `base` that reads `gloss` GU at 60 degrees.

    Its body adds to the reading; where the body alone reads as much, the result is the roughest surface, 1. Errors as
    for `roughness_from_gloss`.
    """
    of_body = 100 * base * _body_fraction(index, 60.0) / _standard(60.0)
    if 0 < gloss <= of_body + gloss_units(1.0, index):
        return 1.0
    return roughness_from_gloss(gloss - of_body if gloss > of_body else gloss, index)


def specular_fraction(
    roughness: float, index: float, angle_deg: float, receptor: Aperture, source: Aperture = SOURCE
) -> float:
    """Return the fraction of the beam, 0 to 1, that the surface reflects into the receptor.

    The mean over the source's directions; its two halves, left and right of the plane of incidence, are mirror images,
    so one is summed. Arguments as for `gloss_units`; the apertures are those of the meter.
    """
    angle = float(np.radians(angle_deg))
    half_plane, half_across = np.radians(source) / 2
    nodes, weights = _gauss(_SOURCE_NODES)
    right = nodes > 0
    in_plane, across = np.meshgrid(half_plane * nodes, half_across * nodes[right], indexing="ij")
    fractions = _ray_fractions(roughness, index, angle, np.stack([in_plane.ravel(), across.ravel()]), receptor)
    return float(np.outer(weights, weights[right]).ravel() @ fractions / 2)


def _standard(angle_deg: float) -> float:
    """Return the fraction of the beam that the black glass reflects into the receptor."""
    return specular_fraction(0.0, BLACK_GLASS_INDEX, angle_deg, RECEPTORS[angle_deg])


def _body_fraction(index: float, angle_deg: float) -> float:
    """Return the fraction of the beam that a white body under a smooth surface scatters into the receptor.

    The receptor's solid angle times cos / pi, times the transmittance of the surface in and out at the angle,
    (1 - F)^2 / (1 - F_mean). A rough surface adds up to 0.16 GU more at 60 degrees, see `energy.diffuse_coupling`.
    """
    cosine = float(np.cos(np.radians(angle_deg)))
    transmitted = (1 - float(fresnel(cosine, index))) ** 2 / (1 - hemispherical_fresnel(index))
    in_plane, across = np.radians(RECEPTORS[angle_deg])
    return float(transmitted * in_plane * across * cosine / np.pi)


def _solve_roughness(gloss: float, index: float) -> float:
    """Return the roughness that reads `gloss`, solved for in log roughness.

    There log(g / (smooth - g)) of a gloss g is nearly straight, so that few steps are needed.
    """
    from scipy.optimize import brentq

    smooth = gloss_units(0.0, index)

    def excess(log_roughness: float) -> float:
        reading = gloss_units(float(np.exp(log_roughness)), index)
        return float(np.log(reading / (smooth - reading) * (smooth - gloss) / gloss))

    return float(np.exp(brentq(excess, np.log(_MIN_ALPHA), 0.0, xtol=1e-12, rtol=1e-14)))


def _ray_fractions(roughness: float, index: float, angle: float, rays: Array, receptor: Aperture) -> Array:
    """Return the fraction of the light of each of several rays that is reflected into the receptor, (rays,).

    `rays` (2, rays) are how far each is off the beam, in the plane of incidence and across it, and `angle` is the
    beam's, all in radians. The grid is dense about the ray's own mirror direction: the lobe can be far narrower than
    the receptor.
    """
    in_plane, across = rays
    incoming = _direction(angle + in_plane, across) * np.array([-1.0, -1.0, 1.0])
    if roughness < _MIN_ALPHA:
        return fresnel(incoming[:, 2], index)
    half_plane, half_across = np.radians(receptor) / 2
    x, x_weights = _peaked_nodes(in_plane[:, None], half_plane, 2 * roughness)
    y, y_weights = _peaked_nodes(across[:, None], half_across, 2 * roughness * np.cos(angle))
    lobe = _scattered_lobe(incoming[:, None, None], _direction(angle + x[:, :, None], y[:, None]), roughness, index)
    mirrored = fresnel(incoming[:, 2], index) * coherent_fraction(incoming[:, 2], roughness)
    return np.asarray(mirrored + np.einsum("ri,rij,rj->r", x_weights, lobe, np.cos(y) * y_weights))


@cache
def _gauss(count: int) -> tuple[Array, Array]:
    """Return Gauss-Legendre nodes and weights, made once."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return frozen(nodes), frozen(weights)


def _peaked_nodes(peak: Array, half_width: float, scale: float) -> tuple[Array, Array]:
    """Return Gauss-Legendre nodes and weights (n, nodes) over +-half_width, spread as peak (n, 1) + scale sinh(t)."""
    nodes, weights = _gauss(_RECEPTOR_NODES)
    low, high = np.arcsinh((-half_width - peak) / scale), np.arcsinh((half_width - peak) / scale)
    t = low + (high - low) * (nodes + 1) / 2
    return peak + scale * np.sinh(t), scale * np.cosh(t) * weights * (high - low) / 2


def _direction(polar: ArrayLike, across: Array) -> Array:
    """Return unit vectors (..., 3): `polar` rad from the normal in the plane, `across` rad out of it."""
    level = np.cos(across)
    return np.stack(np.broadcast_arrays(np.sin(polar) * level, np.sin(across), np.cos(polar) * level), axis=-1)


def _scattered_lobe(incoming: Array, outgoing: Array, roughness: float, index: float) -> Array:
    """Return BRDF times cosine, D G F / (4 cos i), per steradian, of what is not reflected as a mirror image."""
    half = incoming + outgoing
    half /= np.linalg.norm(half, axis=-1, keepdims=True)
    shadowing = smith_g1(incoming[..., 2], roughness) * smith_g1(outgoing[..., 2], roughness)
    fraction = scattered_fraction(incoming[..., 2], outgoing[..., 2], roughness)
    reflectance = fresnel(np.vecdot(half, incoming), index)
    reflected: Array = reflectance * ggx_distribution(half, roughness) * shadowing * fraction
    return reflected / (4 * incoming[..., 2])


def _check_index(index: float) -> None:
    if not (np.isfinite(index) and index > 1):
        raise ValueError(f"a refractive index lies above 1, not at {index}")
