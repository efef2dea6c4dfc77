"""Two-column text: what is a heading, what is a row."""

from __future__ import annotations

import numpy as np
import pytest

from materials.columns import parse_samples, read_columns, rising


@pytest.mark.parametrize("heading", ["nm,W", "serial number,12", "2026-11-26", "illuminant D65,10", "µW,%"])
def test_lines_before_the_first_row_are_headings(heading: str) -> None:
    assert read_columns(f"{heading}\n400,1.5\n".encode()) == ([heading], [(2, "400", "1.5")])


@pytest.mark.parametrize("row", ["38O,1", "380,low", "-5,1", ".5,1"])
def test_a_line_that_begins_like_a_number_and_holds_one_is_a_row(row: str) -> None:
    headings, rows = read_columns(f"{row}\n400,1\n".encode())
    assert (headings, len(rows)) == ([], 2)


def test_rows_keep_the_numbers_of_their_lines() -> None:
    _, rows = read_columns(b"# a comment\n\nnm;W\n400;1,5\n\n410;2,5\n")
    assert rows == [(4, "400", "1.5"), (6, "410", "2.5")]


def test_falling_samples_are_turned_with_their_lines_and_values() -> None:
    samples = rising(parse_samples([(1, "700", "3"), (2, "550", "2"), (3, "400", "1")]))
    assert samples.lines.tolist() == [3, 2, 1]
    np.testing.assert_array_equal([samples.nm, samples.values], [[400, 550, 700], [1, 2, 3]])
