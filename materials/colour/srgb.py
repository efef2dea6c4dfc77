"""Colours: the sRGB curve, chromatic adaptation, and smooth reflectance spectra for hexadecimal colours."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from materials.light.observer import COLOUR_MATCHING, D65, WAVELENGTHS_NM, XYZ_TO_LINEAR_SRGB, frozen
from materials.light.spectra import Spectrum

_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")
# wavelengths on -1 to 1, so that the three coefficients are of like size
_CENTRED: Final = (WAVELENGTHS_NM - 555.0) / 175.0
_POWERS: Final = np.array([np.ones_like(_CENTRED), _CENTRED, _CENTRED**2])
_TO_LINEAR_SRGB: Final = XYZ_TO_LINEAR_SRGB @ (COLOUR_MATCHING * D65 / (COLOUR_MATCHING[1] @ D65))
_STAGES: Final = 12
_ITERATIONS: Final = 300
_MATCHED: Final = 1e-6

_BRADFORD: Final = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]], dtype=np.float64
)


def srgb_decode(encoded: ArrayLike) -> NDArray[np.float64]:
    """Return linear values of sRGB values, 0 to 1, any shape (IEC 61966-2-1)."""
    value = np.asarray(encoded, dtype=np.float64)
    curved = ((np.maximum(value, 0.04045) + 0.055) / 1.055) ** 2.4
    return np.where(value <= 0.04045, value / 12.92, curved)


def srgb_encode(linear: ArrayLike) -> NDArray[np.float64]:
    """Return sRGB values of linear values, 0 to 1, any shape (IEC 61966-2-1); nothing is clipped."""
    value = np.asarray(linear, dtype=np.float64)
    curved = 1.055 * np.maximum(value, 0.0031308) ** (1 / 2.4) - 0.055
    return np.where(value <= 0.0031308, 12.92 * value, curved)


def bradford(from_xyz: ArrayLike, to_xyz: ArrayLike) -> NDArray[np.float64]:
    """Return the (3, 3) matrix that adapts XYZ seen under one white to XYZ under another.

    `from_xyz` and `to_xyz` are the whites, (3,). Bradford, Lam 1985, in the linear form of ICC.1 annex E.
    """
    ratio = (_BRADFORD @ np.asarray(to_xyz)) / (_BRADFORD @ np.asarray(from_xyz))
    adapted: NDArray[np.float64] = np.linalg.solve(_BRADFORD, ratio[:, None] * _BRADFORD)
    return adapted


def linear_srgb_under_d65(reflectance: Spectrum) -> NDArray[np.float64]:
    """Return the linear sRGB colour, (3,), of a (351,) reflectance lit by D65; perfect white is (1, 1, 1)."""
    colour: NDArray[np.float64] = _TO_LINEAR_SRGB @ reflectance
    return colour


@lru_cache(maxsize=512)
def reflectance_from_hex(colour: str) -> Spectrum:
    """Return a smooth reflectance, (351,) within 0 to 1, that looks like an sRGB colour under D65.

    Parameters
    ----------
    colour
        ``#rrggbb``.

    Returns
    -------
    A read-only spectrum. Greys are flat at their linear value; other colours are a sigmoid of a quadratic in
    wavelength (Jakob and Hanika, "A low-dimensional function space for efficient spectral upsampling", 2019).
    Linear sRGB under D65 comes back within 1e-6 everywhere, the corners of the gamut included.

    Raises
    ------
    ValueError
        If `colour` is not of that form.
    """
    if not (isinstance(colour, str) and _HEX.fullmatch(colour)):
        raise ValueError(f"a colour is written #rrggbb, six hexadecimal digits such as #b5833c, not {colour!r}")
    target = srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    if target[0] == target[1] == target[2]:
        return frozen(np.full(WAVELENGTHS_NM.size, target[0]))
    return frozen(_sigmoid(_solve(target) @ _POWERS))


def reflectance_from_linear_srgb(linear: ArrayLike) -> Spectrum:
    """Return a smooth reflectance, (351,) within 0 to 1, read-only, of a linear sRGB colour under D65, (3,).

    The colour may lie outside of sRGB; otherwise as `reflectance_from_hex`.

    Raises
    ------
    ValueError
        If no reflectance of that form has the colour.
    """
    target = np.asarray(linear, dtype=np.float64)
    if np.ptp(target) < _MATCHED and target.min() >= 0 and target.max() <= 1:
        return frozen(np.full(WAVELENGTHS_NM.size, target.mean()))
    found = _sigmoid(_solve(target) @ _POWERS)
    if not np.abs(linear_srgb_under_d65(found) - target).max() < _MATCHED:
        raise ValueError(f"no surface has the colour {target.round(3)} in linear sRGB")
    return frozen(found)


def _sigmoid(x: NDArray[np.float64]) -> NDArray[np.float64]:
    return 0.5 + 0.5 * x / np.sqrt(1 + x * x)


def _solve(target: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the three coefficients, reached in stages from the grey of the same mean, or those where it got stuck.

    The colours that surfaces can have are convex (Schroedinger 1920): beyond one that is out of reach lies no other.
    """
    grey = float(np.clip(target.mean(), 0.05, 0.95))
    coefficients = np.array([(grey - 0.5) / np.sqrt(grey * (1 - grey)), 0.0, 0.0])
    for stage in np.linspace(0, 1, _STAGES + 1)[1:]:
        wanted = grey + stage * (target - grey)
        coefficients = _refine(coefficients, wanted)
        if np.abs(_residual(coefficients, wanted)[0]).max() > _MATCHED:
            break
    return coefficients


def _refine(coefficients: NDArray[np.float64], target: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the least-squares solution near `coefficients`: Gauss-Newton, damped after Marquardt 1963."""
    damping = 1e-3
    residual, jacobian = _residual(coefficients, target)
    for _ in range(_ITERATIONS):
        if np.abs(residual).max() < 1e-9:
            break
        normal = jacobian.T @ jacobian
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal) + 1e-15), jacobian.T @ residual)
        tried, tried_jacobian = _residual(coefficients - step, target)
        if tried @ tried < residual @ residual:
            coefficients, residual, jacobian = coefficients - step, tried, tried_jacobian
            damping = max(damping / 5, 1e-12)
        else:
            damping = min(damping * 4, 1e12)
    return coefficients


def _residual(
    coefficients: NDArray[np.float64], target: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    x = coefficients @ _POWERS
    slope = 0.5 * (1 + x * x) ** -1.5
    return _TO_LINEAR_SRGB @ _sigmoid(x) - target, _TO_LINEAR_SRGB @ (slope * _POWERS).T
