"""The article in Markdown and in HTML: the same words in both, and names from files stay text."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from types import SimpleNamespace

import numpy as np
import pytest

from gallery.writeup.comparison import Comparison
from gallery.writeup.documents import html_document, markdown_document

HOSTILE = '<script>alert(1)</script>" onerror="x'
PICTURE = SimpleNamespace(
    stem="loop--matt", caption="loop: 1/60 s.", alternative_text="Key from the left.", print_words="1 x 2 cm",
)  # fmt: skip
SETUP = SimpleNamespace(
    name="loop", stem="loop", reads_as="soft", pictures=(PICTURE,), topcoats=[], topcoats_text="two finishes",
    lamps=(("in cm", "1 key"), ("lamp", "panel A")), places=("key: 3 cm left",), look_for=("a soft edge",),
    sights_heading="What the picture should show", notes=("This setup wants a card.",), care=("Lamps run hot.",),
    comparison=None,
)  # fmt: skip
COMPARISON = Comparison(np.zeros((1, 1, 3), np.uint8), ("The plan is 1/60 s.",))


class Links(HTMLParser):
    """The tags of a page, and the addresses in it."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.addresses += [value or "" for name, value in attributes if name in ("src", "href")]
        assert not [name for name, _ in attributes if name.startswith("on")]


def documents(setup: object, title: str = "Diver") -> tuple[str, str]:
    content = {
        "title": title,
        "exposure": "each frame has its own exposure",
        "setups": [setup],
        "web_px": 1200,
        "print_dpi": 300,
    }
    return html_document(**content), markdown_document(**content)


def test_both_say_the_same() -> None:
    setup = SimpleNamespace(**{**vars(SETUP), "comparison": COMPARISON, "topcoats": ["row"]})
    for document in documents(setup):
        for words in (
            "Diver", "Each frame has its own exposure.", "Soft.", "loop: 1/60 s.", "Key from the left.", "panel A",
            "key: 3 cm left", "a soft edge", "wants a card", "Lamps run hot.", "The plan is 1/60 s.", "two finishes",
            "at most 1200 pixels wide", "300 to the inch",
        ):  # fmt: skip
            assert words in document


def test_both_lead_to_the_same_files() -> None:
    setup = SimpleNamespace(**{**vars(SETUP), "comparison": COMPARISON, "topcoats": ["row"]})
    html, markdown = documents(setup)
    named = {
        "web/loop--matt.jpg", "print/loop--matt.png", "again/loop--matt.toml", "web/loop--topcoats.jpg",
        "web/loop--photograph.jpg", "diagrams/loop.png", "diagrams/loop.pdf",
    }  # fmt: skip
    assert set(Links(html).addresses) == set(re.findall(r"\]\(([^)]*)\)", markdown)) == named


def test_an_address_is_encoded() -> None:
    picture = SimpleNamespace(**{**vars(PICTURE), "stem": "a b--é"})
    html, markdown = documents(SimpleNamespace(**{**vars(SETUP), "pictures": (picture,)}))
    assert "(web/a%20b--%C3%A9.jpg)" in markdown
    assert "web/a%20b--%C3%A9.jpg" in Links(html).addresses


@pytest.mark.parametrize("key", ["name", "reads_as"])
def test_names_from_files_stay_text(key: str) -> None:
    html, markdown = documents(SimpleNamespace(**{**vars(SETUP), key: HOSTILE}), HOSTILE)
    assert "script" not in Links(html).tags
    assert not re.search(r"(?<!\\)[<>]", markdown)
    assert r"\<script\>" in markdown


def test_the_page_runs_no_script_and_asks_for_nothing_from_elsewhere() -> None:
    html, _ = documents(SETUP)
    assert "script-src 'none'" in html
    assert not [address for address in Links(html).addresses if ":" in address or address.startswith("/")]


def test_a_table_in_markdown_has_a_cell_for_each() -> None:
    setup = replace_cells((("in cm", "1 a|b"), ("lamp", "x")))
    _, markdown = documents(setup)
    assert "| in cm | 1 a\\|b |\n|---|---|\n| lamp | x |\n" in markdown


def replace_cells(lamps: tuple[tuple[str, ...], ...]) -> SimpleNamespace:
    return SimpleNamespace(**{**vars(SETUP), "lamps": lamps})
