"""Text is wrapped to its width, and none of it is lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.captions.wrapping import wrapped


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        ("", 10, []),
        ("key at 50 %", 20, ["key at 50 %"]),
        ("key at 50 %", 8, ["key at", "50 %"]),
        ("key at 50\xa0%", 9, ["key at", "50\xa0%"]),
        ("averylongname of", 6, ["averyl", "ongnam", "e of"]),
        ("1/80 s  f/8  ISO 50  4000 K", 40, ["1/80 s  f/8  ISO 50  4000 K"]),
        ("1/80 s  f/8  ISO 50  4000 K", 24, ["1/80 s  f/8  ISO 50", "4000 K"]),
        ("1/80 s  f/8", 5, ["1/80", "s", "f/8"]),
    ],
)
def test_lines_break_between_words_and_first_at_double_spaces(text: str, width: int, lines: list[str]) -> None:
    assert wrapped(text, width, len) == lines


@given(st.text(max_size=60), st.integers(1, 20))
def test_no_line_is_too_wide_and_no_character_is_lost(text: str, width: int) -> None:
    lines = wrapped(text, width, len)
    assert all(len(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())
