"""Any two frames are compared, side by side or as a wipe that follows the pointer, a finger and the keys."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Open
from tests.browser.harness.pixels import shown
from tests.browser.harness.visiting import PHONE, on_phone

FIRST, SECOND = "rembrandt, matt", "rim-fill, gloss"


@pytest.fixture
def page(demo: Path, open_page: Open) -> Page:
    """Give the comparison, two frames chosen."""
    return _compared(open_page(demo))


def _compared(page: Page) -> Page:
    page.get_by_role("link", name="Compare", exact=True).click()
    page.get_by_label("First frame").select_option(FIRST)
    page.get_by_label("Second frame").select_option(SECOND)
    return page


def _as_wipe(page: Page) -> Locator:
    page.get_by_label("as a wipe").check()
    return page.locator("#pair")


def _seam(page: Page) -> int:
    return int(page.get_by_role("slider", name="Wipe").input_value())


def _picture(page: Page, percent: int) -> NDArray[np.uint8]:
    """Return the pictures as wiped, where the first has `percent` of the width."""
    page.get_by_role("spinbutton", name="Wipe").fill(str(percent))
    page.get_by_role("spinbutton", name="Wipe").press("Enter")
    return shown(page.locator("#pair img").first)


def test_any_two_stand_side_by_side_with_what_is_known_of_both(page: Page) -> None:
    captions = page.locator("#pair figcaption")
    expect(captions).to_have_text([FIRST, SECOND])
    boxes = [picture.bounding_box() for picture in page.locator("#pair img").all()]
    first, second = [box for box in boxes if box is not None]
    assert first["x"] + first["width"] <= second["x"]
    assert first["y"] == second["y"]
    expect(page.locator("#compare thead th")).to_have_text(["Reading", FIRST, SECOND])
    page.get_by_role("button", name="Swap").click()
    expect(captions).to_have_text([SECOND, FIRST])


def test_two_are_picked_among_all_and_a_third_takes_the_place_of_the_first(demo: Path, open_page: Open) -> None:
    page = open_page(demo)
    for name in ("three-point, matt", FIRST, SECOND):
        page.get_by_label(f"Compare {name}", exact=True).check()
    expect(page.get_by_label("Compare three-point, matt", exact=True)).not_to_be_checked()
    page.get_by_role("link", name="Compare them").click()
    expect(page.locator("#pair figcaption")).to_have_text([FIRST, SECOND])


def test_a_wipe_shows_the_first_left_of_its_seam_and_the_second_right_of_it(page: Page) -> None:
    _as_wipe(page)
    whole_first, whole_second, half = _picture(page, 100), _picture(page, 0), _picture(page, 50)
    middle, near = half.shape[1] // 2, 4
    assert np.array_equal(half[:, : middle - near], whole_first[:, : middle - near])
    assert np.array_equal(half[:, middle + near :], whole_second[:, middle + near :])
    assert np.abs(whole_first.astype(int) - whole_second).mean() > 5


def test_the_seam_lies_on_the_pictures_though_their_names_are_wider(page: Page) -> None:
    _as_wipe(page)
    _picture(page, 20)
    seam, picture = page.locator("#seam").bounding_box(), page.locator("#pair img").first.bounding_box()
    assert seam is not None
    assert picture is not None
    assert seam["x"] + seam["width"] / 2 == pytest.approx(picture["x"] + 0.2 * picture["width"], abs=1)


def test_the_seam_follows_a_pointer(page: Page) -> None:
    box = _as_wipe(page).bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 0.2 * box["width"], box["y"] + 50)
    page.mouse.down()
    assert _seam(page) == 20
    page.mouse.move(box["x"] + 0.7 * box["width"], box["y"] + 60)
    assert _seam(page) == 70
    page.mouse.up()
    page.mouse.move(box["x"] + 0.4 * box["width"], box["y"] + 60)
    assert _seam(page) == 70


def test_the_seam_follows_a_finger(demo: Path, open_page: Open) -> None:
    page = _compared(open_page(demo, PHONE, **on_phone()))
    pair = _as_wipe(page)
    pair.scroll_into_view_if_needed()
    box = pair.bounding_box()
    assert box is not None
    touch = page.context.new_cdp_session(page)

    def finger(kind: str, *shares: float) -> None:
        points = [{"x": box["x"] + share * box["width"], "y": box["y"] + 80} for share in shares]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    finger("touchStart", 0.5)
    for share in (0.55, 0.65, 0.8):
        finger("touchMove", share)
    finger("touchEnd")
    assert abs(_seam(page) - 80) <= 1


def test_the_seam_follows_keys_and_says_where_it_is(page: Page) -> None:
    _as_wipe(page)
    slider = page.get_by_role("slider", name="Wipe")
    slider.focus()
    for key, percent in (("ArrowLeft", 49), ("Home", 0), ("End", 100), ("PageDown", 90)):
        slider.press(key)
        assert _seam(page) == percent
    expect(slider).to_have_attribute("aria-valuetext", f"90 % {FIRST}, 10 % {SECOND}")
    page.get_by_role("button", name="Wipe: less").click()
    assert _seam(page) == 89
