"""The index of a folder's sheets: on a phone and a wide screen, by day and by night, of any names, without script."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.harness.accessibility import cut_text, sideways_px, small_targets, violations
from tests.browser.harness.strange_names import MARKUP, QUOTES, write_strange
from tests.browser.harness.visiting import PHONE, WIDE, on_phone
from tests.support.command import run

SETUPS: Final = ("loop", "rim", "split")


@pytest.fixture(scope="module")
def index(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the index of two sheets, one of names that mean harm, and of what failed."""
    folder = tmp_path_factory.mktemp("models")
    write_strange(folder)
    (folder / "spoon.toml").write_text('[subject]\nmesh = "stand-in:spoon"\n', encoding="utf-8")
    (folder / "broken <b>.toml").write_text("[subject]\nheigth_cm = 3\n", encoding="utf-8")
    chosen = [word for setup in SETUPS for word in ("--setup", setup)]
    ran = run(folder, "sheet", ".", "--size", "60x80", *chosen)
    assert ran.returncode == 1, ran.stderr
    return folder / "sheet" / "index.html"


@pytest.mark.parametrize("appearance", ["light", "dark"])
@pytest.mark.parametrize(("size", "settings"), [(PHONE, on_phone()), (WIDE, {})], ids=["phone", "wide"])
def test_it_is_read_and_pressed_on_any_screen(
    size: tuple[int, int], settings: dict[str, Any], appearance: str, index: Path, open_page: Open
) -> None:
    page: Page = open_page(index, size, beside=True, color_scheme=appearance, **settings)
    page.get_by_text("All 2 by name").click()
    assert violations(page) == []
    assert small_targets(page) == []
    assert cut_text(page) == []
    assert sideways_px(page) == 0


def test_its_pictures_come_from_the_folders_beside_it_without_script(index: Path, open_page: Open) -> None:
    page: Page = open_page(index, WIDE, beside=True, java_script_enabled=False)
    pictures = page.get_by_role("region").locator("img")
    expect(pictures).to_have_count(2 * len(SETUPS))
    for picture in pictures.all():
        picture.scroll_into_view_if_needed()
        expect(picture).to_have_js_property("complete", True)
        assert picture.evaluate("image => image.naturalWidth") == 60


def test_names_stay_text(index: Path, open_page: Open) -> None:
    page: Page = open_page(index, beside=True)
    expect(page.get_by_role("heading", level=2, name=f"{MARKUP}{QUOTES}")).to_be_visible()
    expect(page.get_by_text("broken <b>.toml", exact=True)).to_be_visible()
    assert page.evaluate("() => document.querySelectorAll('script, img[src=x], [onerror], b').length") == 0


def test_a_sheet_and_its_frames_are_reached_by_keyboard(index: Path, open_page: Open) -> None:
    page: Page = open_page(index, beside=True)
    page.get_by_role("region", name="spoon").get_by_role("link", name="Contact sheet").focus()
    page.keyboard.press("Tab")
    expect(page.get_by_role("region", name="spoon").get_by_role("link", name="loop")).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url("**/spoon/frames/loop--as-built.png")
