"""Write `deviations.csv` and `surfaces.csv` of `materials/colour/data` from measured reflectances in colour-science.

Run from the repository root: ``python -m tests.data_scripts.make_surfaces``.
"""

from __future__ import annotations

from importlib.metadata import distribution

import numpy as np

from materials.arrays import Array
from materials.colour.lab import reflectance_to_lab
from materials.light.observer import WAVELENGTHS_NM
from tests.support.reflectances.measured import CHARTS, chart_patches, colour_fidelity_samples, training_patches

from .make_observer import COLOUR

COMPONENTS = 8
STEP_NM = 10
LIMITS = 0.004, 0.996
"""Of reflectance, before its logit is taken."""
LIKE = 0.02
"""Root mean square difference under which a surface counts as a patch of the chart, which is left out for tests."""
ORIGIN = """\
# Statistics of {count} measured reflectances: the 99 samples of CIE 224:2017, and the training set of RAW to ACES
# (Academy of Motion Picture Arts and Sciences) but for what is like a patch of the 24-patch chart, kept for tests.
# From the tables of colour-science {version} by tests/data_scripts/make_surfaces.py;
# its licence is in NOTICE-colour-science.txt.
"""
DEVIATIONS = """\
# Characteristic deviations of the logit of reflectance from its mean over 380 to 730 nm (principal components).
"""
SURFACES = """\
# Each surface's hue in CIE Lab under D65, and its amounts of the characteristic deviations in deviations.csv.
"""


def reflectances() -> Array:
    """Return the measured reflectances without those that are like a patch of the chart, (m, 351)."""
    charts = np.concatenate([chart_patches(name) for name in CHARTS])
    candidates = training_patches()
    difference = np.sqrt(((candidates[:, None] - charts[None]) ** 2).mean(axis=2)).min(axis=1)
    return np.concatenate([colour_fidelity_samples(), candidates[difference > LIKE]])


def tables() -> tuple[str, str]:
    """Return the text of both data files."""
    found = reflectances()
    nodes = slice(None, None, STEP_NM)
    clipped = np.clip(found[:, nodes], *LIMITS)
    logit = np.log(clipped / (1 - clipped))
    amounts, sizes, components = np.linalg.svd(logit - logit.mean(axis=1, keepdims=True), full_matrices=False)
    signs = np.sign(components.sum(axis=1))  # which way round is the library's choice
    components, amounts = (signs[:, None] * components)[:COMPONENTS], (signs * amounts * sizes)[:, :COMPONENTS]
    names = ",".join(f"c{i}" for i in range(1, COMPONENTS + 1))
    origin = ORIGIN.format(count=len(found), version=distribution("colour-science").version)
    deviations = [
        f"{nm}," + ",".join(f"{value:.5f}" for value in row)
        for nm, row in zip(WAVELENGTHS_NM[nodes].astype(int), components.T, strict=True)
    ]
    hues = [np.degrees(np.arctan2(b, a)) % 360 for _, a, b in map(reflectance_to_lab, found)]
    surfaces = [
        f"{hue:.1f}," + ",".join(f"{value:.3f}" for value in row) for hue, row in zip(hues, amounts, strict=True)
    ]
    return (
        DEVIATIONS + origin + "\n".join([f"wavelength_nm,{names}", *deviations]) + "\n",
        SURFACES + origin + "\n".join([f"hue_deg,{names}", *surfaces]) + "\n",
    )


if __name__ == "__main__":
    for name, text in zip(("deviations.csv", "surfaces.csv"), tables(), strict=True):
        (COLOUR / name).write_text(text, encoding="utf-8")
