"""The page is one file that needs nothing else and may load nothing else."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Open
from tests.browser.harness.visiting import visit

ELSEWHERE = "http://127.0.0.1:9/x"
ATTEMPTS = {
    "a picture": f"document.body.append(Object.assign(new Image(), {{src: '{ELSEWHERE}'}}))",
    "a request": f"fetch('{ELSEWHERE}').catch(() => 0)",
    "a script": "document.body.append(Object.assign(document.createElement('script'), {text: 'window.taken = 1'}))",
    "an attribute": "document.body.setAttribute('onclick', 'window.taken = 1'); document.body.click()",
    "a style": "document.body.setAttribute('style', 'color: red')",
}


def _policy(page: Page) -> dict[str, str]:
    stated = page.locator("meta[http-equiv='Content-Security-Policy']").get_attribute("content") or ""
    return {name: sources for name, _, sources in (rule.strip().partition(" ") for rule in stated.split(";"))}


def test_it_opens_from_a_folder_with_a_space_without_a_network(demo: Path, tmp_path: Path, open_page: Open) -> None:
    moved = tmp_path / "my models #1" / "the page.html"
    moved.parent.mkdir()
    moved.write_bytes(demo.read_bytes())
    page = open_page(moved)
    expect(page.get_by_role("heading", level=1)).to_have_text("Hard-hat diver")
    expect(page.get_by_role("navigation")).to_be_visible()  # the script runs


def test_its_policy_admits_one_style_one_script_and_pictures_of_its_own(demo: Path, open_page: Open) -> None:
    policy = _policy(open_page(demo))
    assert policy["default-src"] == "'none'"
    assert policy["img-src"] == "data: blob:"
    assert re.fullmatch(r"'sha256-\S+='", policy["script-src"])
    assert re.fullmatch(r"'sha256-\S+='", policy["style-src"])


@pytest.mark.parametrize("attempt", ATTEMPTS.values(), ids=ATTEMPTS)
def test_the_browser_refuses_what_anything_injected_would_load_or_run(
    attempt: str, demo: Path, browser: Browser
) -> None:
    with pytest.raises(AssertionError, match="Content Security Policy"):
        _attempt(attempt, demo, browser)


def _attempt(attempt: str, file: Path, browser: Browser) -> None:
    with visit(browser, file) as page:
        page.evaluate(attempt)
        assert page.evaluate("window.taken") is None, "an injected script has run"
