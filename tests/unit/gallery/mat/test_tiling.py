"""Few pages hold all marks, each point on one page, and the pages hang together."""

from __future__ import annotations

import numpy as np
import pytest

from gallery.mat.format import Format
from gallery.mat.marks.mark import Mark, needed_for
from gallery.mat.tiling import MOST_PAGES, Tiling, lay_pages, page_name
from gallery.paper.size import PaperName, paper_of

UPRIGHT = Format(paper_of(PaperName.A4))
FORMS = [UPRIGHT, Format(paper_of(PaperName.A4).lying)]
CENTRE = Mark("centre mark", (), np.zeros(2), has_cross=True, needed_cm=needed_for(np.zeros(2)))


def lamp(x: float, y: float) -> Mark:
    foot = np.array([x, y])
    return Mark("lamp", (), foot, (), np.zeros(2), True, needed_for(foot))


def test_a_page_of_a4_shows_the_table_inside_margin_tab_and_waste() -> None:
    assert UPRIGHT.table.width == pytest.approx(21.0 - 2.4 - 1.0 - 0.4)
    assert UPRIGHT.table.height == pytest.approx(29.7 - 2.4 - 1.0 - 0.4)


def test_what_fits_on_a_page_takes_one_with_its_spots_off_the_edges() -> None:
    tiling = lay_pages([CENTRE, lamp(10, 14)], FORMS)
    assert tiling.cells == ((0, 0),)
    assert tiling.edge_distances(np.array([[0.0, 0.0], [10.0, 14.0]])).min() >= 1.5


def test_a_mark_beyond_all_pages_that_are_allowed_gets_none() -> None:
    assert lay_pages([CENTRE, lamp(0, 300)], FORMS).cells == ((0, 0),)


def test_a_nearer_mark_is_laid_though_one_before_it_is_too_far() -> None:
    tiling = lay_pages([CENTRE, lamp(0, 300), lamp(-30, 0)], FORMS)
    assert tiling.has(np.array([-30.0, 0.0]))
    assert len(tiling.cells) == 2


@pytest.mark.parametrize("seed", range(8))
def test_laid_marks_are_on_pages_that_hang_together(seed: int) -> None:
    spots = np.random.default_rng(seed).uniform(-35, 35, (3, 2))
    marks = [CENTRE, *(lamp(x, y) for x, y in spots)]
    tiling = lay_pages(marks, FORMS)
    laid = [mark for mark in marks if tiling.has(mark.at_cm)]
    assert len(tiling.cells) <= MOST_PAGES
    assert all(tiling.covers(mark.needed_cm).all() for mark in laid)
    assert sum(column == 0 for column, _ in tiling.cells) > 0
    assert sum(row == 0 for _, row in tiling.cells) > 0
    reached = {tiling.cells[0]}
    for _ in tiling.cells:
        reached |= {cell for cell in tiling.cells if any(abs(cell[0] - c) + abs(cell[1] - r) == 1 for c, r in reached)}
    assert reached == set(tiling.cells)


def test_every_point_lies_in_the_area_of_its_page_alone() -> None:
    tiling = Tiling(-7.0, 11.0, UPRIGHT, tuple((c, r) for c in range(3) for r in range(3)))
    for x, y in np.random.default_rng(1).uniform((-7, 11 - 3 * 25.9), (-7 + 3 * 17.2, 11), (200, 2)):
        holding = [
            cell
            for cell in tiling.cells
            if (area := tiling.area(cell)).left <= x < area.right and area.bottom <= y < area.top
        ]
        assert holding == [tiling.cell_of(np.array([x, y]))]


def test_pages_are_called_by_letter_and_number() -> None:
    assert [page_name(cell) for cell in ((0, 0), (1, 2), (25, 0), (26, 0))] == ["A1", "B3", "Z1", "AA1"]
