"""Pages of frames of any shapes under captions of any length: no cell overlaps another, and none is cut."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from gallery.sheet.layout import INK, PAPER, Cell, Row, TextLine, compose

Page = NDArray[np.uint8]
Rectangle = tuple[int, int, int, int]
FRAME = (200, 30, 90)
LETTERS = st.characters(codec="latin-1", categories=("L", "N", "P", "S", "Zs"))
WORDS = st.one_of(
    st.text(LETTERS, max_size=60),
    st.sampled_from(["W" * 70, "under the key, " * 6, "x", "", "panel A at 100 %", "averyveryverylongname-of-a-part"]),
)
LINES = st.lists(st.builds(TextLine, WORDS, st.just(INK), st.sampled_from([24, 32, 38])), max_size=3).map(tuple)
SIDES = st.integers(40, 600)


def frame(width: int, height: int) -> Page:
    return np.full((height, width, 3), FRAME, np.uint8)


CELLS = st.builds(Cell, st.builds(frame, SIDES, SIDES), LINES, LINES)
ROWS = st.lists(st.builds(Row, st.lists(CELLS, min_size=1, max_size=3).map(tuple), LINES), min_size=1, max_size=2)


def blank(lines: tuple[TextLine, ...]) -> tuple[TextLine, ...]:
    return tuple(replace(line, ink=PAPER) for line in lines)


def extent(rows: list[Row], row: int, column: int) -> tuple[NDArray[np.bool_], Rectangle]:
    """Return the pixels that a cell's frame and ink change, and the rectangle (left, top, right, bottom) round them."""
    cells = list(rows[row].cells)
    cell = cells[column]
    cells[column] = Cell(np.full_like(cell.rgb, PAPER), blank(cell.below), blank(cell.above))
    without = [*rows[:row], replace(rows[row], cells=tuple(cells)), *rows[row + 1 :]]
    changed = np.any(compose("t", "s", rows) != compose("t", "s", without), axis=2)
    down, across = np.nonzero(changed)
    return changed, (int(across.min()), int(down.min()), int(across.max()), int(down.max()))


def overlap(one: Rectangle, other: Rectangle) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


@pytest.mark.slow
@settings(max_examples=5, deadline=None)
@given(ROWS)
def test_no_cell_reaches_into_another_and_none_is_cut(rows: list[Row]) -> None:
    page = compose("t", "s", rows)
    places = [(r, c) for r, row in enumerate(rows) for c in range(len(row.cells))]
    rectangles = []
    for row, column in places:
        changed, rectangle = extent(rows, row, column)
        height, width = rows[row].cells[column].rgb.shape[:2]
        assert (changed & (page == FRAME).all(axis=2)).sum() == width * height  # the whole frame, at its own pixels
        rectangles.append(rectangle)
    assert not any(overlap(one, other) for one, other in itertools.combinations(rectangles, 2))


@settings(max_examples=25, deadline=None)
@given(WORDS, WORDS, ROWS, LINES)
def test_everything_on_a_page_stays_inside_it(
    title: str, subtitle: str, rows: list[Row], notes: list[TextLine]
) -> None:
    page = compose(title, subtitle, rows, notes)
    inner = np.zeros(page.shape[:2], bool)
    inner[8:-8, 8:-8] = True
    assert (page[~inner] == PAPER).all()


def test_a_word_too_long_for_its_cell_is_broken_and_none_of_it_is_lost() -> None:
    short, long = (Row((Cell(frame(160, 120), (TextLine("M" * n),)),)) for n in (10, 40))
    ink = [np.any(compose("", "", [row])[:, :, 1] < 200, axis=1).sum() for row in (short, long)]
    assert ink[1] - 120 == pytest.approx(4 * (ink[0] - 120), rel=0.35)


def test_captions_of_small_frames_can_be_read() -> None:
    row = Row(tuple(Cell(frame(160, 120), (TextLine("H"),)) for _ in range(4)))
    changed, (_, top, _, _) = extent([row], 0, 3)
    capital = changed[top + 120 :].any(axis=1).sum()
    assert capital >= 8  # pixels: a line of 12


def test_a_sheet_of_equal_frames_is_no_larger_than_its_frames_and_captions_need() -> None:
    page = compose("title", "", [Row((Cell(frame(480, 640), (TextLine("one line"),)),) * 4)])
    assert page.shape[1] == 4 * 480 + 3 * 28 + 2 * 40
    assert page.shape[0] < 640 + 300
