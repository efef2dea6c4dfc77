"""Frames in reading order, or as a matrix of setup and finish, with their captions."""

from __future__ import annotations

from gallery.sheet.layout import Cell
from gallery.sheet.rows import matrix_rows, ordered_cells, rows_of
from render.camera.exposure import Exposure
from render.frame import Frame
from tests.support.sheets.frames import unlit_frame

SETTINGS = "1/60 s  f/1.7  ISO 50  4000 K"


def frames(*finishes: str) -> list[Frame]:
    return [unlit_frame(setup, finish) for setup in ("rim", "loop") for finish in finishes]


def texts(cell: Cell) -> list[str]:
    return [line.text for line in cell.below]


def test_frames_stand_in_the_order_given_each_under_its_name() -> None:
    rows = rows_of(ordered_cells(frames("as-built")), 1)
    assert [texts(row.cells[0])[0] for row in rows] == ["rim", "loop"]
    assert all(SETTINGS in texts(row.cells[0]) for row in rows)


def test_a_matrix_has_a_row_a_setup_and_a_head_a_finish() -> None:
    rows = matrix_rows(frames("gloss", "5"))
    assert [row.heading[0].text for row in rows] == ["rim", "loop"]
    assert [[line.text for line in cell.above] for cell in rows[0].cells] == [["gloss, 80 GU"], ["5 GU"]]


def test_what_exposure_a_row_shares_is_in_its_heading_else_under_each_frame() -> None:
    shared = frames("gloss", "matt")
    own = [*shared[:1], unlit_frame("rim", "matt", Exposure(1 / 30, 50, 1.7)), *shared[2:]]
    first, second = matrix_rows(own)
    assert SETTINGS not in [line.text for line in first.heading]
    assert [texts(cell)[0] for cell in first.cells] == [SETTINGS, SETTINGS.replace("60", "30")]
    assert SETTINGS in [line.text for line in second.heading]
    assert not any(SETTINGS in texts(cell) for cell in second.cells)


def test_one_finish_or_a_matrix_with_gaps_is_in_reading_order() -> None:
    assert matrix_rows(frames("gloss")) == []
    assert matrix_rows(frames("gloss", "matt")[:3]) == []
