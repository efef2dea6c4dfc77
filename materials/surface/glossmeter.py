"""The glossmeter of ISO 2813: how a surface's roughness and its gloss units belong together.

The meter sends a beam of a small angular spread onto a surface and collects what leaves within a rectangular
receptor about the mirror direction. Polished black glass of index 1.567 reads 100. Here the surface is a
rough dielectric over black: GGX facets with Smith's separable shadowing (Walter and others, "Microfacet
models for refraction through rough surfaces", 2007) under the exact Fresnel equations.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.light.observer import frozen

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
# below this the lobe is a hundredth of a degree wide, nothing beside the receptor
_SMOOTHEST: Final = 1e-4


def fresnel(cosine: ArrayLike, index: float) -> NDArray[np.float64]:
    """Return the unpolarised reflectance of a smooth dielectric, any shape (Fresnel's equations).

    `cosine` is of the angle of incidence, above 0; `index` is the ratio of refractive indices, above 1.
    """
    inside = np.asarray(cosine, dtype=np.float64)
    refracted = np.sqrt(index**2 - 1 + inside**2)
    perpendicular = (inside - refracted) / (inside + refracted)
    parallel = (index**2 * inside - refracted) / (index**2 * inside + refracted)
    return 0.5 * (perpendicular**2 + parallel**2)


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
        Reflectance of the body under the surface, 0 to 1, whose even light reaches the receptor too: a white one adds
        2 GU at 60 degrees.

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
    receptor = RECEPTORS[angle_deg]
    standard = collected(0.0, BLACK_GLASS_INDEX, angle_deg, receptor)
    return 100 * (collected(roughness, index, angle_deg, receptor) + base * _from_body(index, angle_deg)) / standard


def roughness_over(base: float, gloss: float, index: float = 1.5) -> float:
    """Return the roughness (GGX alpha) of paint of reflectance `base` that reads `gloss` GU at 60 degrees itself.

    As rough as goes, 1, where the paint's body alone gives as much or more. Errors as for `roughness_for`.
    """
    standard = collected(0.0, BLACK_GLASS_INDEX, 60.0, RECEPTORS[60.0])
    of_body = 100 * base * _from_body(index, 60.0) / standard
    if 0 < gloss <= of_body + gloss_units(1.0, index):
        return 1.0
    return roughness_for(gloss - of_body, index) if gloss > of_body else roughness_for(gloss, index)


@lru_cache(maxsize=64)
def _from_body(index: float, angle_deg: float) -> float:
    """Return what a receptor collects of the even light of a white body under a smooth surface.

    Its solid angle, by cos / pi, by what the surface lets in and out at the angle, (1 - F)^2 over (1 - F_mean). A rough
    surface lets out up to 0.16 GU more at 60 degrees, see `energy.escaping`.
    """
    cosine = float(np.cos(np.radians(angle_deg)))
    nodes, weights = _gauss(_RECEPTOR_NODES)
    even = (nodes + 1) / 2
    let = (1 - float(fresnel(cosine, index))) ** 2 / (1 - float(weights @ (fresnel(even, index) * even)))
    in_plane, across = np.radians(RECEPTORS[angle_deg])
    return float(let * in_plane * across * cosine / np.pi)


@lru_cache(maxsize=1024)
def roughness_for(gloss: float, index: float = 1.5) -> float:
    """Return the roughness (GGX alpha) of a dielectric over black that reads `gloss` GU at 60 degrees.

    Raises
    ------
    ValueError
        If `gloss` is not positive, above what a smooth surface of `index` reaches or below the roughest one.
    """
    _check_index(index)
    highest, lowest = gloss_units(0.0, index), gloss_units(1.0, index)
    if not gloss > 0:
        raise ValueError(f"gloss must be above 0 gloss units, not {gloss}")
    if gloss > highest:
        raise ValueError(f"{gloss} gloss units are out of reach: a smooth surface of index {index} has {highest:.1f}")
    if gloss < lowest:
        raise ValueError(f"{gloss} gloss units are out of reach: the roughest surface here has {lowest:.2f}")
    if gloss >= gloss_units(_SMOOTHEST, index):
        return 0.0
    return _solve(gloss, index)


def _solve(gloss: float, index: float) -> float:
    """Return the roughness that reads `gloss`: false position after Illinois, in log roughness.

    log(g / (smooth - g)) of a gloss g is nearly straight in it, which makes the steps few.
    """
    smooth = gloss_units(0.0, index)

    def excess(log_roughness: float) -> float:
        reading = gloss_units(float(np.exp(log_roughness)), index)
        return float(np.log(reading / (smooth - reading) * (smooth - gloss) / gloss))

    old, new = float(np.log(_SMOOTHEST)), 0.0
    old_excess, new_excess = excess(old), excess(new)
    while abs(new_excess) > 1e-9:
        tried = new - new_excess * (new - old) / (new_excess - old_excess)
        tried_excess = excess(tried)
        if tried_excess * new_excess < 0:
            old, old_excess = new, new_excess
        else:
            old_excess /= 2
        new, new_excess = tried, tried_excess
    return float(np.exp(new))


def collected(roughness: float, index: float, angle_deg: float, receptor: Aperture, source: Aperture = SOURCE) -> float:
    """Return the part, 0 to 1, of the beam that reaches the receptor: the mean over the source's directions.

    Arguments as for `gloss_units`; the apertures are those of the meter. The two halves of the source, left
    and right of the plane of incidence, do the same: one is summed.
    """
    angle = float(np.radians(angle_deg))
    half_plane, half_across = np.radians(source) / 2
    nodes, weights = _gauss(_SOURCE_NODES)
    return sum(
        float(u * v) / 2 * _from_direction(roughness, index, (angle, half_plane * x, half_across * y), receptor)
        for x, u in zip(nodes, weights, strict=True)
        for y, v in zip(nodes, weights, strict=True)
        if y > 0
    )


def _from_direction(roughness: float, index: float, ray: tuple[float, float, float], receptor: Aperture) -> float:
    """Return the part of a ray's light that the receptor collects.

    `ray` is the angle of the beam and how far the ray is off it, in the plane and across, all in radians. The
    grid is dense about the ray's own mirror direction: the lobe can be far narrower than the receptor.
    """
    angle, in_plane, across = ray
    incoming = _direction(angle + in_plane, np.array(across)) * np.array([-1.0, -1.0, 1.0])
    if roughness < _SMOOTHEST:
        return float(fresnel(incoming[2], index))
    half_plane, half_across = np.radians(receptor) / 2
    x, x_weights = _peaked_nodes(in_plane, half_plane, 2 * roughness)
    y, y_weights = _peaked_nodes(across, half_across, 2 * roughness * np.cos(angle))
    radiance = _reflected(incoming, _direction((angle + x)[:, None], y[None, :]), roughness, index)
    return float(x_weights @ (radiance * np.cos(y)) @ y_weights)


@cache
def _gauss(count: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return Gauss-Legendre nodes and weights, made once."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return frozen(nodes), frozen(weights)


def _peaked_nodes(peak: float, half_width: float, scale: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return Gauss-Legendre nodes and weights over +-half_width, spread as peak + scale sinh(t)."""
    nodes, weights = _gauss(_RECEPTOR_NODES)
    low, high = np.arcsinh((-half_width - peak) / scale), np.arcsinh((half_width - peak) / scale)
    t = low + (high - low) * (nodes + 1) / 2
    return peak + scale * np.sinh(t), scale * np.cosh(t) * weights * (high - low) / 2


def _direction(polar: ArrayLike, across: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return unit vectors (..., 3): `polar` rad from the normal in the plane, `across` rad out of it."""
    polar, across = np.broadcast_arrays(np.asarray(polar, dtype=np.float64), across)
    return np.stack([np.sin(polar) * np.cos(across), np.sin(across), np.cos(polar) * np.cos(across)], axis=-1)


def _reflected(
    incoming: NDArray[np.float64], outgoing: NDArray[np.float64], roughness: float, index: float
) -> NDArray[np.float64]:
    """Return BRDF times cosine, D G F / (4 cos i), per steradian."""
    half = incoming + outgoing
    half /= np.linalg.norm(half, axis=-1, keepdims=True)
    slopes_squared = (half[..., 0] ** 2 + half[..., 1] ** 2) / half[..., 2] ** 2
    a2 = roughness**2
    facets = a2 / (np.pi * half[..., 2] ** 4 * (a2 + slopes_squared) ** 2)
    shadowing = _smith(incoming[..., 2], a2) * _smith(outgoing[..., 2], a2)
    mirrored: NDArray[np.float64] = fresnel(half @ incoming, index) * facets * shadowing
    return mirrored / (4 * incoming[..., 2])


def _smith(cosine: NDArray[np.float64], a2: float) -> NDArray[np.float64]:
    """Return Smith's G1 for GGX of roughness squared `a2`."""
    return 2 / (1 + np.sqrt(1 + a2 * (1 / cosine**2 - 1)))


def _check_index(index: float) -> None:
    if not (np.isfinite(index) and index > 1):
        raise ValueError(f"a refractive index lies above 1, not at {index}")
