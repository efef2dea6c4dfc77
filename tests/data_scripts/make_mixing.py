"""Write `materials/colour/data/mixing.csv`: spectra of which pictures' colours are mixed, fitted to measured surfaces.

Run from the repository root: ``python -m tests.data_scripts.make_mixing``.
"""

from __future__ import annotations

from importlib.metadata import distribution
from typing import Final

import numpy as np
from scipy.optimize import minimize

from materials.arrays import Array
from materials.colour.mixing import BROAD_LIMITS, MIXED_COLOURS
from materials.colour.srgb import LUMINANCE_WEIGHTS, REFLECTANCE_TO_LINEAR_SRGB
from materials.colour.upsampling import reflectance_from_linear_srgb
from materials.light.observer import COLOUR_MATCHING, WAVELENGTHS_NM

from .make_observer import COLOUR
from .make_surfaces import STEP_NM, reflectances

HEADER = """\
# Spectra of the primaries and secondaries of light, broad and narrow, whose mixtures are nearest to {count} measured
# reflectances (those of surfaces.csv) by least squares; each has its colour in linear sRGB under D65.
# From the tables of colour-science {version} by tests/data_scripts/make_mixing.py;
# its licence is in NOTICE-colour-science.txt.
"""
NODES: Final = WAVELENGTHS_NM[::STEP_NM]
BETWEEN: Final = np.array([np.interp(WAVELENGTHS_NM, NODES, node) for node in np.eye(NODES.size)])
"""(nodes, 351) linear interpolation."""
BENDS: Final = np.diff(np.eye(NODES.size), n=2, axis=0)
SMOOTHNESS: Final = 1e-2
LEAST_WEIGHT: Final = 0.05
"""Of wavelengths that the eye hardly sees."""
DARKEST: Final = 0.03
"""Luminance factor under which errors do not weigh more."""
COLOURS: Final = np.vstack([np.eye(3), 1 - np.eye(3)])


def fitted(limits: tuple[float, float]) -> Array:
    """Return the spectra, (6, nodes), within limits."""
    measured = reflectances()
    linear = np.clip(measured @ REFLECTANCE_TO_LINEAR_SRGB.T, 0, 1)
    weights = 1 / np.maximum(linear @ LUMINANCE_WEIGHTS, DARKEST)[:, None]
    visible = COLOUR_MATCHING.sum(axis=0)[::STEP_NM]
    visible = np.sqrt(visible / visible.max()) + LEAST_WEIGHT
    amounts, rest = _amounts(linear) * weights, (measured[:, ::STEP_NM] - linear.min(axis=1)[:, None]) * weights

    def error(flat: Array) -> tuple[float, Array]:
        spectra = flat.reshape(6, -1)
        off, bends = (amounts @ spectra - rest) * visible, spectra @ BENDS.T
        slope = 2 * (amounts.T @ (off * visible)) / len(measured) + 2 * SMOOTHNESS * bends @ BENDS
        return float((off**2).sum() / len(measured) + SMOOTHNESS * (bends**2).sum()), slope.ravel()

    to_colours = np.kron(np.eye(6), REFLECTANCE_TO_LINEAR_SRGB @ BETWEEN.T)
    exact = {"type": "eq", "fun": lambda flat: to_colours @ flat - COLOURS.ravel(), "jac": lambda _: to_colours}
    start = np.array([reflectance_from_linear_srgb(colour)[::STEP_NM] for colour in COLOURS]).ravel()
    options = {"maxiter": 500, "ftol": 1e-9}
    found = minimize(
        error, start, jac=True, method="SLSQP", bounds=[limits] * start.size, constraints=[exact], options=options
    )
    if not found.success:
        raise ArithmeticError(found.message)
    return np.asarray(found.x.reshape(6, -1))


def _amounts(linear: Array) -> Array:
    """Return how much of each of `MIXED_COLOURS` linear sRGB (n, 3) takes, (n, 6)."""
    order, rows = np.argsort(linear, axis=1), np.arange(len(linear))
    smallest, middle, largest = np.sort(linear, axis=1).T
    amounts = np.zeros((len(linear), 6))
    amounts[rows, order[:, 2]] = largest - middle
    amounts[rows, 3 + order[:, 0]] = middle - smallest
    return amounts


def table() -> str:
    """Return the text of the data file."""
    spectra = np.vstack([fitted(BROAD_LIMITS), fitted((0.0, 1.0))])
    names = ",".join(f"{width}_{colour}" for width in ("broad", "narrow") for colour in MIXED_COLOURS)
    rows = [
        f"{nm}," + ",".join(f"{value:.8f}" for value in values)
        for nm, values in zip(NODES.astype(int), spectra.T, strict=True)
    ]
    header = HEADER.format(count=len(reflectances()), version=distribution("colour-science").version)
    return header + "\n".join([f"wavelength_nm,{names}", *rows]) + "\n"


if __name__ == "__main__":
    (COLOUR / "mixing.csv").write_text(table(), encoding="utf-8")
