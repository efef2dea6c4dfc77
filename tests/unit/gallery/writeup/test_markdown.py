"""Text in Markdown stays text."""

from __future__ import annotations

from html import unescape

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from gallery.writeup.markdown import markdown_text
from scenes.text import printable


@pytest.mark.parametrize(
    ("text", "escaped"),
    [
        ("key: 24.5 cm left, 44° down", "key: 24.5 cm left, 44° down"),
        ("# a *b* _c_ `d` ~e~", r"\# a \*b\* \_c\_ \`d\` \~e\~"),
        ("[a](b) ![c]", r"\[a\](b) \!\[c\]"),
        ("<script>alert(1)</script>", r"\<script\>alert(1)\</script\>"),
        ("a | b", r"a \| b"),
        ("&lt;", r"\&lt;"),
        ("back\\slash", r"back\\slash"),
        ("see https://example.org or www.example.org", r"see https:\/\/example.org or www\.example.org"),
        ("@someone $x$", r"\@someone \$x\$"),
        ("1. first", r"1\. first"),
        ("12) twelfth", r"12\) twelfth"),
        ("- item", r"\- item"),
        ("---", r"\---"),
        ("===", r"\==="),
        ("-0.07 stops", "-0.07 stops"),
        ("two\nlines", r"two\\nlines"),
    ],
)
def test_characters_that_mean_something_are_escaped(text: str, escaped: str) -> None:
    assert markdown_text(text) == escaped


@given(text=st.text(st.sampled_from("\\`*_{}[]<>()#+-.!|~&;:/=$@1 aé\n\t\"'") | st.characters(), max_size=30))
def test_a_reader_of_markdown_shows_the_text_as_it_was(text: str) -> None:
    words = " ".join(printable(text).split())  # white space is one space in HTML
    if not words:
        return
    reader = MarkdownIt("commonmark").enable(["table", "strikethrough"])
    shown = reader.render(markdown_text(words))
    assert shown.startswith("<p>")
    assert unescape(shown.removeprefix("<p>").removesuffix("</p>\n")) == words
    cells = reader.render(f"| a |\n|---|\n| {markdown_text(words)} |\n")
    assert unescape(cells.partition("<td>")[2].partition("</td>")[0]) == words
