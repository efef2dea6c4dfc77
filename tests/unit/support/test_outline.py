"""The share of a lit outline, on drawn discs."""

from __future__ import annotations

import numpy as np
import pytest

from tests.support.outline import lit_outline_share

ROW, COLUMN = np.mgrid[:200, :200]
RADIUS = np.hypot(ROW - 99.5, COLUMN - 99.5)
DISC = RADIUS < 80


def _rim(level: float, where: np.ndarray) -> np.ndarray:
    return np.where((RADIUS > 78) & where, level, 0.01)


@pytest.mark.parametrize(
    ("where", "share"),
    [(DISC, 1.0), (COLUMN < 100, 0.5), (np.zeros_like(DISC), 0.0)],
    ids=["all round", "one side", "nowhere"],
)
def test_the_share_is_that_of_the_outline_that_is_bright(where: np.ndarray, share: float) -> None:
    assert lit_outline_share(_rim(0.5, where), DISC) == pytest.approx(share, abs=0.03)


def test_a_rim_as_dark_as_a_twentieth_of_white_is_none() -> None:
    assert lit_outline_share(_rim(0.049, DISC), DISC) == 0.0


def test_a_rim_no_brighter_than_four_times_the_inside_is_none() -> None:
    assert lit_outline_share(np.where(RADIUS > 78, 0.39, 0.1), DISC) == 0.0
    assert lit_outline_share(np.where(RADIUS > 78, 0.41, 0.1), DISC) == 1.0
