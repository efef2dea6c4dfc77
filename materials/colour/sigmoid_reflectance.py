"""The reflectance of a colour as a sigmoid of a quadratic in wavelength: all colours of surfaces have one.

Jakob and Hanika, "A low-dimensional function space for efficient spectral upsampling", 2019.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Array
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum

from .srgb import REFLECTANCE_TO_LINEAR_SRGB

# wavelengths on -1 to 1, so that the three coefficients are of like size
_CENTRED: Final = (WAVELENGTHS_NM - 555.0) / 175.0
_POWERS: Final = np.array([np.ones_like(_CENTRED), _CENTRED, _CENTRED**2])
_STAGES: Final = 12
_ITERATIONS: Final = 300
_TOLERANCE: Final = 1e-6


def sigmoid_reflectance(linear: Array) -> Spectrum:
    """Return a reflectance, (351,) within 0 to 1, of a linear sRGB colour under D65, (3,).

    Of a colour that no surface has it is one on the way there from grey.
    """
    return _sigmoid(_coefficients(linear) @ _POWERS)


def _sigmoid(x: Array) -> Array:
    return 0.5 + 0.5 * x / np.sqrt(1 + x * x)


def _coefficients(target: Array) -> Array:
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
