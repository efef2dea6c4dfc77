"""The checks find what is wrong with a page of which that is known: else they could pass anything."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import Open
from tests.browser.harness.accessibility import cut_text, sideways_px, small_targets, violations
from tests.browser.harness.visiting import visit

HEAD = "<!doctype html><html lang=en><meta charset=utf-8><title>A page</title><main><h1>A page</h1>"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "a page.html"


def test_a_sound_page_passes(file: Path, open_page: Open) -> None:
    file.write_text(f"{HEAD}<label style='display: block'><input type=checkbox> A box</label><p>Text", encoding="utf-8")
    page = open_page(file)
    assert violations(page) == []
    assert cut_text(page) == []
    assert sideways_px(page) == 0


def test_axe_finds_a_picture_without_a_text_and_pale_letters(file: Path, open_page: Open) -> None:
    file.write_text(f"{HEAD}<img src='data:,'><p style='color: #bbb; background: #fff'>Pale", encoding="utf-8")
    found = violations(open_page(file))
    assert sorted(sentence.partition(":")[0] for sentence in found) == ["color-contrast", "image-alt"]


def test_small_buttons_and_cut_text_and_what_sticks_out_are_found(file: Path, open_page: Open) -> None:
    small = "<button style='width: 20px; height: 20px; padding: 0'>-</button><button style='padding: 1em'>+</button>"
    cut = "<div style='width: 4em; overflow: hidden; white-space: nowrap'>far longer than that</div>"
    file.write_text(f"{HEAD}{small}{cut}<div style='width: 1500px; height: 1em'></div>", encoding="utf-8")
    page = open_page(file)
    (target,) = small_targets(page)
    assert target.endswith(": 20 x 20")
    assert cut_text(page) == ["far longer than that"]
    assert sideways_px(page) > 200


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        ("<img src='http://127.0.0.1:9/x.png' alt=''>", "x.png"),
        ("<script src='beside.js'></script>", "beside.js"),
        ("<script>throw new Error('oh')</script>", "oh"),
    ],
)
def test_a_request_or_a_mistake_in_a_script_fails_a_visit(wrong: str, named: str, file: Path, browser: Browser) -> None:
    file.write_text(HEAD + wrong, encoding="utf-8")
    with pytest.raises(AssertionError, match=named), visit(browser, file):
        pass
