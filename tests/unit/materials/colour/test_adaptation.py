"""Chromatic adaptation."""

from __future__ import annotations

import numpy as np
import pytest

from materials.colour.adaptation import bradford_matrix
from materials.light.observer import D65_XYZ


def test_bradford_takes_d65_to_d50_as_published() -> None:
    # ICC whites; matrix as tabulated by Lindbloom
    published = [
        [1.0478112, 0.0228866, -0.0501270],
        [0.0295424, 0.9904844, -0.0170491],
        [-0.0092345, 0.0150436, 0.7521316],
    ]
    got = bradford_matrix([0.95047, 1.0, 1.08883], [0.96422, 1.0, 0.82521])
    assert got == pytest.approx(np.array(published), abs=1e-7)


def test_bradford_takes_one_white_to_the_other() -> None:
    warm = np.array([1.1, 1.0, 0.35])
    assert bradford_matrix(D65_XYZ, warm) @ D65_XYZ == pytest.approx(warm, rel=1e-12)
    assert bradford_matrix(warm, D65_XYZ) @ bradford_matrix(D65_XYZ, warm) == pytest.approx(np.eye(3), abs=1e-12)
