"""Lines are cut at the edges of a page: what is inside stays, and nothing else."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from gallery.mat.clipping import clipped
from gallery.paper.box import Box
from materials.arrays import Vector

BOX = Box(0.0, 0.0, 10.0, 6.0)
LINES = arrays(float, st.tuples(st.integers(2, 6), st.just(2)), elements=st.floats(-20, 20, width=32))


def test_a_line_through_the_page_is_cut_at_both_edges() -> None:
    (piece,) = clipped(np.array([[-5.0, 3.0], [15.0, 3.0]]), BOX)
    assert piece == pytest.approx(np.array([[0.0, 3.0], [10.0, 3.0]]))


def test_a_line_that_leaves_and_returns_is_two_pieces() -> None:
    pieces = clipped(np.array([[5.0, 3.0], [15.0, 3.0], [15.0, 5.0], [5.0, 5.0]]), BOX)
    assert [piece.tolist() for piece in pieces] == [[[5, 3], [10, 3]], [[10, 5], [5, 5]]]


def test_a_line_inside_stays_one_piece() -> None:
    line = np.array([[1.0, 1.0], [2.0, 5.0], [9.0, 2.0]])
    (piece,) = clipped(line, BOX)
    assert piece == pytest.approx(line)


@given(LINES)
def test_pieces_lie_inside_and_keep_every_inner_point(line: Vector) -> None:
    pieces = clipped(line, BOX)
    for x, y in (point for piece in pieces for point in piece):
        assert -1e-9 <= x <= 10 + 1e-9
        assert -1e-9 <= y <= 6 + 1e-9
    inner = BOX.grown(-1e-9)  # a line that ends nearer to an edge than doubles resolve may have no piece
    inside = [p for p in line if inner.holds(Box(*p, *p)) and not (line == line[0]).all()]
    for point in inside:
        assert min(np.abs(piece - point).sum(axis=1).min() for piece in pieces) < 1e-6
