"""Texts along an edge do not touch, and stay as near to where they belong as that allows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.diagram.views.spread import spread

PLACES = st.lists(st.tuples(st.floats(-5, 25), st.floats(0.1, 1.5)), min_size=1, max_size=12)


@given(PLACES)
def test_nothing_overlaps_and_all_stay_inside(things: list[tuple[float, float]]) -> None:
    wanted, sizes = zip(*things, strict=True)
    middles = spread(wanted, sizes, 0.0, 20.0)
    assert middles is not None
    order = np.argsort(middles)
    low, high = (middles - np.array(sizes) / 2)[order], (middles + np.array(sizes) / 2)[order]
    assert low[0] >= -1e-9
    assert high[-1] <= 20 + 1e-9
    assert (low[1:] >= high[:-1] - 1e-9).all()


def test_what_has_room_stays_where_it_is() -> None:
    assert spread([3.0, 9.0, 6.0], [1.0, 1.0, 1.0], 0.0, 10.0) == pytest.approx([3.0, 9.0, 6.0])


def test_two_at_one_place_move_aside_alike() -> None:
    assert spread([5.0, 5.0], [1.0, 2.0], 0.0, 10.0) == pytest.approx([4.25, 5.75])


def test_what_does_not_fit_is_said() -> None:
    assert spread([1.0, 2.0], [3.0, 3.0], 0.0, 5.0) is None
