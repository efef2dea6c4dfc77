"""The wavelength grid and its constants."""

from __future__ import annotations

import numpy as np
import pytest

from materials.light.observer import COLOUR_MATCHING, D65, D65_XYZ, WAVELENGTHS_NM


def test_the_grid_is_380_to_730_nm_by_1() -> None:
    assert np.array_equal(WAVELENGTHS_NM, np.arange(380, 731))
    assert COLOUR_MATCHING.shape == (3, 351)
    assert D65.shape == (351,)


@pytest.mark.parametrize("array", [WAVELENGTHS_NM, COLOUR_MATCHING, D65, D65_XYZ])
def test_constants_cannot_be_written_to(array: np.ndarray) -> None:
    with pytest.raises(ValueError, match="read-only"):
        array[...] = 0
