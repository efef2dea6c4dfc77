"""Names from files stay text, whatever they hold."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.harness.strange_names import LONG, MARKUP, NAMES, QUOTES

OWN_ELEMENTS = "() => document.querySelectorAll('script, img[src=x], [onerror]').length"
OWN_SCRIPTS = 2
"""The page's facts and its program."""


@pytest.fixture
def page(strange: Path, open_page: Open) -> Page:
    return open_page(strange)


def test_the_title_is_as_written(page: Page) -> None:
    expect(page).to_have_title(f"{MARKUP}{QUOTES}")
    expect(page.get_by_role("heading", level=1)).to_have_text(f"{MARKUP}{QUOTES}")


@pytest.mark.parametrize("view", ["frames", "compare/1/2", "relight/2", "set-up/2"])
def test_no_name_becomes_an_element_in_any_view(view: str, strange: Path, page: Page) -> None:
    page.goto(f"{strange.as_uri()}#/{view}")
    expect(page.get_by_role("region").first).to_be_visible()
    assert page.evaluate(OWN_ELEMENTS) == OWN_SCRIPTS


@pytest.mark.parametrize("name", NAMES[2:])
def test_lamps_are_called_as_written(name: str, page: Page) -> None:
    text = page.get_by_role("article").all_text_contents()
    assert any(name in words for words in text)


def test_a_long_name_is_broken_not_cut(strange: Path, page: Page) -> None:
    page.goto(f"{strange.as_uri()}#/set-up/1")
    page.get_by_label("all steps").check()
    assert any(LONG in words for words in page.locator("#steps").all_text_contents())
