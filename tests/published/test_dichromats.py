"""The colours of parts as dichromats see them, by a published simulation."""

from __future__ import annotations

from itertools import combinations

import colour
import numpy as np
import pytest

from gallery.drawings.part_colours import COLOURS

LEAST_DIFFERENCE = 10.0


@pytest.mark.parametrize("deficiency", ["Protanomaly", "Deuteranomaly", "Tritanomaly"])
@pytest.mark.filterwarnings("ignore::colour.utilities.ColourUsageWarning")
def test_the_colours_of_parts_differ_to_dichromats(deficiency: str) -> None:
    """By CIEDE2000, at severity 1 of Machado, Oliveira and Fernandes (2009)."""
    linear = colour.cctf_decoding(np.array(COLOURS) / 255, function="sRGB")
    seen = np.clip(linear @ colour.matrix_cvd_Machado2009(deficiency, 1.0).T, 0, 1)
    lab = colour.XYZ_to_Lab(colour.RGB_to_XYZ(seen, "sRGB"))
    differences = [colour.delta_E(one, other, method="CIE 2000") for one, other in combinations(lab, 2)]
    assert min(differences) >= LEAST_DIFFERENCE
