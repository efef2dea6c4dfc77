"""Text in Markdown stays text."""

from __future__ import annotations

import pytest

from gallery.writeup.markdown import markdown_text


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
