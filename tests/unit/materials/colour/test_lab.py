"""Lab of reflectances."""

from __future__ import annotations

import numpy as np
import pytest

from materials.colour.lab import reflectance_to_lab
from materials.colour.notation import reflectance_from
from materials.light.observer import WAVELENGTHS_NM


@pytest.mark.parametrize("lab", [(52, 41, 30), (90, -3, 12), (60, -50, 20)])
def test_a_reflectance_made_of_a_lab_colour_has_it(lab: tuple[float, float, float]) -> None:
    assert reflectance_to_lab(reflectance_from(f"lab{lab}")) == pytest.approx(lab, abs=0.01)


def test_an_even_reflectance_is_neutral() -> None:
    assert reflectance_to_lab(np.full(WAVELENGTHS_NM.shape, 0.184)) == pytest.approx((50, 0, 0), abs=0.03)
