"""Arrows keep their heads: one that would leave the mat ends on it, in its own direction."""

from __future__ import annotations

import numpy as np
import pytest

from gallery.mat.arrows import EDGE_CM, fitted
from gallery.mat.format import Format
from gallery.mat.marks.mark import Line, Mark, Stroke, needed_for
from gallery.mat.tiling import lay_pages
from gallery.paper.size import PaperName, paper_of

FORMS = [Format(paper_of(PaperName.A4))]
CENTRE = Mark("centre mark", (), np.zeros(2), has_cross=True, needed_cm=needed_for(np.zeros(2)))


def front(tip: tuple[float, float]) -> Mark:
    """Return a front's arrow from the centre mark to a tip, at which it is named."""
    return Mark("front", (), np.array(tip), (Line(np.array([(0.0, 0.0), tip]), Stroke.arrow),))


def test_an_arrow_beyond_the_mat_is_shortened_and_named_at_its_tip() -> None:
    tiling = lay_pages([CENTRE], FORMS)
    mark = fitted(front((30.0, -40.0)), tiling)
    tip = mark.lines[0].points_cm[-1]
    assert mark.at_cm == pytest.approx(tip)
    assert tip / np.linalg.norm(tip) == pytest.approx([0.6, -0.8])
    assert tiling.has(tip)
    assert not tiling.has(tip * (1 + 2 * EDGE_CM / np.linalg.norm(tip)))


def test_an_arrow_on_the_mat_stays() -> None:
    mark = fitted(front((1.0, -1.0)), lay_pages([CENTRE], FORMS))
    assert mark.at_cm == pytest.approx([1.0, -1.0])
