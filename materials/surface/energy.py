"""Energy at rough surfaces: what facets send on at once, and what goes on between them and leaves later.

A surface of GGX facets that turns each ray away once loses what other facets stand in the way of. Kulla and Conty
("Revisiting physically based shading at Imageworks", SIGGRAPH 2017 course) give it back by a second, diffuse lobe,
(1 - E(in)) (1 - E(out)) / (pi (1 - E_mean)), with E the albedo of the first for a direction: both together return all
the light of a white furnace, at every angle, and are the same when in and out change places.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.light.observer import frozen
from materials.light.spectra import Spectrum

from .glossmeter import fresnel

SMOOTHEST: Final = 1e-3
"""GGX alpha; a surface that is smoother counts as this."""
COSINES: Final = frozen(np.linspace(0.0, 1.0, 64))
"""The angles of the tables, by the cosine to the normal."""
_TURNS: Final = 24
_HEIGHTS: Final = 200
_ROUNDS: Final = 200


@lru_cache(maxsize=256)
def facet_albedo(roughness: float, index: float | None = None) -> NDArray[np.float64]:
    """Return what facets send on at once of light from each direction of `COSINES`, (64,) within 0 to 1, read-only.

    Parameters
    ----------
    roughness
        GGX alpha, 0 to 1.
    index
        Refractive index of a dielectric, whose facets reflect after Fresnel; without it facets reflect all.

    Raises
    ------
    ValueError
        If `roughness` is not between 0 and 1.

    Notes
    -----
    The mean over visible normals, spread evenly (Dupuy and Benyoub, "Sampling visible GGX normals with spherical
    caps", 2023), of the facets' reflectance times Smith's G1 of the way out.
    """
    if not 0 <= roughness <= 1:
        raise ValueError(f"roughness lies between 0 and 1, not {roughness}")
    alpha = max(roughness, SMOOTHEST)
    # straight along the surface nothing is seen: as near to it as makes no difference
    return frozen(np.array([_albedo(max(float(c), 1e-4), alpha, index) for c in COSINES]))


def mean_albedo(albedo: NDArray[np.float64]) -> float:
    """Return the hemispherical mean of an albedo at `COSINES`, linear between them: 2 times the integral of E c dc."""
    low, high, step = albedo[:-1], albedo[1:], COSINES[1]
    first = COSINES[:-1] * step / 2 * (low + high) + step**2 / 6 * (low + 2 * high)
    return float(2 * first.sum())


def escaping(albedo: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return T(c) = (1 - E(c)) / sqrt(1 - E_mean) at `COSINES`: the diffuse lobe is T(in) T(out) cos / pi.

    The lobe's own albedo is 1 - E(c): with the first lobe's it makes 1. None is left of it where E is 1 throughout.
    """
    lost = max(1.0 - mean_albedo(albedo), 1e-9)
    return np.asarray((1.0 - albedo) / np.sqrt(lost))


def late_reflectance(reflectance: Spectrum, roughness: float) -> Spectrum:
    """Return the colour, (351,), of light that met two facets of a metal or more before it left.

    F2 E / (1 - F (1 - E)) for facets of reflectance F and the mean albedo E of facets that reflect all (Kulla and
    Conty 2017): 1 for a white metal, deeper than F for a coloured one.
    """
    mean = mean_albedo(facet_albedo(roughness))
    return reflectance**2 * mean / (1 - reflectance * (1 - mean))


def passing(roughness: float, index: float, flakes: float, flake_roughness: float) -> NDArray[np.float64]:
    """Return T(c) at `COSINES` for a body under a surface: its lobe L is sent on as T(in) L T(out).

    Parameters
    ----------
    roughness, index
        Of the surface, as for `facet_albedo`.
    flakes
        The share of L that is a sheen of metal facets without loss, 0 to 1; the rest is even, cos / pi.
    flake_roughness
        GGX alpha of those facets.

    Notes
    -----
    T is solved for so that a white body sends on all that the surface lets in, at every angle: T(in) times the mean
    of T(out) over L is 1 - E(in). For an even body that is `escaping`. What facets lose to one another is in T too.
    """
    let_in = 1.0 - facet_albedo(roughness, index)
    if flakes == 0.0:
        return escaping(1.0 - let_in)
    sent = flakes * _mirrored(flake_roughness) + (1 - flakes) * _spread()
    through = np.sqrt(let_in)
    for _ in range(_ROUNDS):  # Sinkhorn and Knopp 1967, for a lobe that is the same both ways
        through = np.sqrt(through * let_in / np.maximum(sent @ through, 1e-12))
    return frozen(through)


@lru_cache(maxsize=64)
def _mirrored(roughness: float) -> NDArray[np.float64]:
    """Return what facets that reflect all send from each of `COSINES` to each, (64, 64): rows sum to the albedo."""
    alpha = max(roughness, SMOOTHEST)
    rows = []
    for cosine in COSINES:
        out, share, _ = _sent(max(float(cosine), 1e-4), alpha)
        place = np.clip(out, 0.0, 1.0) * (len(COSINES) - 1)
        cell = np.minimum(place.astype(int), len(COSINES) - 2)
        rest = place - cell
        rows.append(
            np.bincount(cell.ravel(), (share * (1 - rest)).ravel(), len(COSINES))
            + np.bincount(cell.ravel() + 1, (share * rest).ravel(), len(COSINES))
        )
    return frozen(np.array(rows))


def _spread() -> NDArray[np.float64]:
    """Return what an even body sends from each of `COSINES` to each: 2 c dc, linear between them."""
    step = float(COSINES[1])
    weights = 2 * COSINES * step
    weights[0], weights[-1] = step**2 / 3, step * (1 - step / 3)
    return np.tile(weights, (len(COSINES), 1))


def _albedo(cosine: float, alpha: float, index: float | None) -> float:
    _, share, towards = _sent(cosine, alpha)
    reflected = 1.0 if index is None else fresnel(np.clip(towards, 1e-6, 1.0), index)
    return float((reflected * share).sum())


def _sent(cosine: float, alpha: float) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return the cosines to which visible facets mirror light, the share that goes there, and the cosine at the facet.

    Each is (turns, heights); facets are spread evenly over those that are visible from the angle of `cosine`.
    """
    turn = (np.arange(_TURNS) + 0.5) / _TURNS * np.pi  # the other half does the same
    root = (np.arange(_HEIGHTS) + 0.5) / _HEIGHTS
    # dense about height 1, where facets are steep: smooth surfaces have few of them, and those lose the most
    height, weights = 1 - root**3, 3 * root**2 / _HEIGHTS
    back = np.array([np.sqrt(1 - cosine**2), 0.0, cosine])
    seen = back * [alpha, alpha, 1.0]
    seen /= np.linalg.norm(seen)
    z = (1 - height) * (1 + seen[2]) - seen[2]
    sine = np.sqrt(np.maximum(1 - z**2, 0.0))
    cap = np.stack(np.broadcast_arrays(np.outer(np.cos(turn), sine), np.outer(np.sin(turn), sine), z), axis=-1) + seen
    half = cap * [alpha, alpha, 1.0]
    half /= np.linalg.norm(half, axis=-1, keepdims=True)
    towards = half @ back
    out = 2 * towards * half[..., 2] - cosine
    with np.errstate(divide="ignore"):
        tangent2 = 1 / np.maximum(out, 0.0) ** 2 - 1
    unshadowed = np.where(out > 0, 2 / (1 + np.sqrt(1 + alpha**2 * np.maximum(tangent2, 0.0))), 0.0)
    return out, unshadowed * weights / _TURNS, towards
