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

from .cie import frozen
from .gloss import fresnel
from .spectra import Spectrum

SMOOTHEST: Final = 1e-3
"""GGX alpha; a surface that is smoother counts as this."""
COSINES: Final = frozen(np.linspace(0.0, 1.0, 64))
"""The angles of the tables, by the cosine to the normal."""
_TURNS: Final = 24
_HEIGHTS: Final = 200


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


def _albedo(cosine: float, alpha: float, index: float | None) -> float:
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
    reflected = 1.0 if index is None else fresnel(np.clip(towards, 1e-6, 1.0), index)
    return float((reflected * unshadowed).mean(axis=0) @ weights)
