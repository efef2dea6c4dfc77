"""Spectral upsampling: a smooth reflectance for a colour.

A sigmoid of a quadratic in wavelength (Jakob and Hanika, "A low-dimensional function space for efficient spectral
upsampling", 2019); greys are constant.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Array, frozen
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum

from .srgb import REFLECTANCE_TO_LINEAR_SRGB, linear_srgb_under_d65, srgb_decode

HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")
"""How an sRGB colour is written."""
# wavelengths on -1 to 1, so that the three coefficients are of like size
_CENTRED: Final = (WAVELENGTHS_NM - 555.0) / 175.0
_POWERS: Final = np.array([np.ones_like(_CENTRED), _CENTRED, _CENTRED**2])
_STAGES: Final = 12
_ITERATIONS: Final = 300
_TOLERANCE: Final = 1e-6


@lru_cache(maxsize=512)
def reflectance_from_hex(colour: str) -> Spectrum:
    """Return a smooth reflectance, (351,) within 0 to 1, read-only, that has an sRGB colour under D65.

    Parameters
    ----------
    colour
        ``#rrggbb``. Linear sRGB under D65 comes back within 1e-6 everywhere, the corners of the gamut included.

    Raises
    ------
    ValueError
        If `colour` is not of that form.
    """
    if not (isinstance(colour, str) and HEX.fullmatch(colour)):
        raise ValueError(f"a colour is written #rrggbb, six hexadecimal digits such as #b5833c, not {colour!r}")
    target = srgb_decode([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    if target[0] == target[1] == target[2]:
        return frozen(np.full(WAVELENGTHS_NM.size, target[0]))
    return frozen(_sigmoid(_solve(target) @ _POWERS))


def reflectance_from_linear_srgb(linear: ArrayLike) -> Spectrum:
    """Return a smooth reflectance, (351,) within 0 to 1, read-only, of a linear sRGB colour under D65, (3,).

    The colour may lie outside of sRGB.

    Raises
    ------
    ValueError
        If no reflectance of that form has the colour.
    """
    target = np.asarray(linear, dtype=np.float64)
    if np.ptp(target) < _TOLERANCE and target.min() >= 0 and target.max() <= 1:
        return frozen(np.full(WAVELENGTHS_NM.size, target.mean()))
    found = _sigmoid(_solve(target) @ _POWERS)
    if not np.abs(linear_srgb_under_d65(found) - target).max() < _TOLERANCE:
        raise ValueError(f"no surface has the colour {target.round(3)} in linear sRGB")
    return frozen(found)


def _sigmoid(x: Array) -> Array:
    return 0.5 + 0.5 * x / np.sqrt(1 + x * x)


def _solve(target: Array) -> Array:
    """Return the three coefficients for a colour, or those of the last stage towards it that could be reached.

    The stages lead from the grey of the same mean. The colours of surfaces are a convex set (Schroedinger 1920): past
    a stage that is out of reach none can be reached.
    """
    grey = float(np.clip(target.mean(), 0.05, 0.95))
    coefficients = np.array([(grey - 0.5) / np.sqrt(grey * (1 - grey)), 0.0, 0.0])
    for stage in np.linspace(0, 1, _STAGES + 1)[1:]:
        wanted = grey + stage * (target - grey)
        coefficients = _refine(coefficients, wanted)
        if np.abs(_residual(coefficients, wanted)[0]).max() > _TOLERANCE:
            break
    return coefficients


def _refine(coefficients: Array, target: Array) -> Array:
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


def _residual(coefficients: Array, target: Array) -> tuple[Array, Array]:
    """Return the error in linear sRGB, (3,), and its derivatives by the coefficients, (3, 3)."""
    x = coefficients @ _POWERS
    slope = 0.5 * (1 + x * x) ** -1.5
    return REFLECTANCE_TO_LINEAR_SRGB @ _sigmoid(x) - target, REFLECTANCE_TO_LINEAR_SRGB @ (slope * _POWERS).T
