"""Measured reflectances in colour-science's tables, on this project's grid: (n, 351) each, within 0 to 1."""

from __future__ import annotations

import csv
import warnings
from pathlib import Path
from typing import Any, Final

import numpy as np

from materials.arrays import Array
from materials.light.observer import WAVELENGTHS_NM

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # of plots that it cannot draw
    import colour
    from colour.quality.cfi2017 import load_TCS_CIE2017

CHARTS: Final = ("BabelColor Average", "ISO 17321-1")
"""Measurements of the 24-patch chart: the mean of 30 specimens, and the standard's."""


def chart_patches(name: str) -> Array:
    """Return the 24 patches of the chart as measured by one of `CHARTS`."""
    patches = colour.SDS_COLOURCHECKERS[name].values()
    return np.array([_on_grid(patch.wavelengths, patch.values) for patch in patches])


def colour_fidelity_samples() -> Array:
    """Return the 99 colour evaluation samples of CIE 224:2017, of paints, textiles, prints, plastics, skin, leaves."""
    samples: Any = load_TCS_CIE2017(colour.SpectralShape(380, 780, 1))
    return np.array([_on_grid(samples.wavelengths, values) for values in samples.values.T])


def training_patches() -> Array:
    """Return the 190 reflectances on which RAW to ACES (A.M.P.A.S.) trains."""
    table = Path(colour.__file__).parent / "characterisation" / "datasets" / "rawtoaces" / "190_Patches.csv"
    with table.open(encoding="utf-8") as lines:
        rows = np.array(list(csv.reader(lines))[1:], dtype=np.float64)
    return np.array([_on_grid(rows[:, 0], values) for values in rows[:, 1:].T])


def _on_grid(nm: Array, values: Array) -> Array:
    """Return values between the wavelengths linearly, held beyond, and cut to 0 to 1: some are below 0 by rounding."""
    return np.clip(np.interp(WAVELENGTHS_NM, nm, values), 0.0, 1.0)
