"""Names from files are printed on one line, obeyed by no terminal, and cut to a sensible length."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.text import LONGEST_LINE, counted, is_printable, listed, printable


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("turret [1]", "turret [1]"),
        ("Für Anna, 1\u00a0cm", "Für Anna, 1\u00a0cm"),
        ("\x1b[2Jgone", r"\x1b[2Jgone"),
        ("two\nlines\ttab", r"two\nlines\ttab"),
        ("\x9b31m", r"\x9b31m"),
        ("nul\0", r"nul\x00"),
        ("gpj.\u202ePNG", r"gpj.\u202ePNG"),
        ("\udcff.stl", r"\udcff.stl"),
        ("line\u2028end", r"line\u2028end"),
    ],
)
def test_what_a_terminal_would_obey_is_shown_as_an_escape(text: str, shown: str) -> None:
    assert printable(text) == shown


def test_of_what_is_long_the_beginning_and_the_end_are_shown() -> None:
    assert printable("a" * 40 + "b" * 40, 20) == "aaaaaaaaa...bbbbbbbb"
    assert printable("a" * 20, 20) == "a" * 20


@given(st.text())
def test_whatever_is_printed_stays_on_one_line_and_obeys_nothing(text: str) -> None:
    shown = printable(text * 9)
    assert all(map(is_printable, shown))
    assert len(shown) <= 10 * LONGEST_LINE


@pytest.mark.parametrize(
    ("names", "row"),
    [([], ""), (["a"], "a"), (["a", "b"], "a, b"), (["a", "b", "c", "d"], "a, b and 2 more")],
)
def test_of_many_names_the_first_are_listed_and_how_many_more_there_are(names: list[str], row: str) -> None:
    assert listed(names, 2) == row


@pytest.mark.parametrize(
    ("number", "noun", "words"),
    [(1, "round", "1 round"), (3, "lamp image", "3 lamp images"), (2, "geometry", "2 geometries")],
)
def test_things_are_counted_in_words(number: int, noun: str, words: str) -> None:
    assert counted(number, noun) == words


def test_a_list_can_stand_in_lines() -> None:
    assert listed(["a", "b", "c"], 2, "\n# ", "\n# and {} more") == "a\n# b\n# and 1 more"
