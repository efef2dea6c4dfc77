"""A setup is put up step by step, and what is ticked stays ticked."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.harness.sheet_facts import frames_of

REFUSED = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no', 'SecurityError') }})"


@pytest.fixture
def page(demo: Path, open_page: Open) -> Page:
    """Give the steps of the second frame."""
    page = open_page(demo)
    page.get_by_role("article").nth(1).get_by_role("link", name="Set it up").click()
    return page


def _all_steps(page: Page) -> None:
    page.get_by_label("all steps").check()


def test_the_steps_have_every_thing_of_the_setup_in_the_order_of_setting_up(sheet: Path, page: Page) -> None:
    placement = frames_of(sheet)[1]["placement"]
    things = [placement["model"], placement["camera"], *placement["lamps"], *placement["cards"]]
    _all_steps(page)
    headings = page.locator("#steps > li > label").all_inner_texts()
    found = [heading.strip() for heading in headings]
    placed = [thing["words"].partition(":")[0] for thing in things]
    assert [heading for heading in found if heading in placed] == placed


def test_ticks_stay_when_the_page_is_opened_again_and_are_those_of_their_frame(demo: Path, page: Page) -> None:
    _all_steps(page)
    boxes = page.locator("#steps").get_by_role("checkbox")
    boxes.nth(1).check()
    boxes.nth(3).check()
    again = page.context.new_page()
    again.goto(f"{demo.as_uri()}#/set-up/2")
    _all_steps(again)
    kept = again.locator("#steps").get_by_role("checkbox")
    assert [box.is_checked() for box in kept.all()] == [i in {1, 3} for i in range(boxes.count())]
    expect(again.get_by_text("2 of", exact=False).first).to_contain_text(f"2 of {boxes.count()} done.")
    again.get_by_role("combobox", name="Frame", exact=True).select_option(index=0)
    expect(again.get_by_text("0 of", exact=False).first).to_be_visible()


def test_one_step_at_a_time_is_done_and_turned_back(page: Page) -> None:
    steps = page.locator("#steps > li")
    expect(steps.nth(0)).to_be_visible()
    expect(steps.nth(1)).to_be_hidden()
    page.get_by_role("button", name="Done, next step").click()
    expect(steps.nth(0)).to_be_hidden()
    expect(steps.nth(1)).to_be_visible()
    page.get_by_role("button", name="Back").click()
    expect(steps.nth(0).get_by_role("checkbox")).to_be_checked()


def test_it_goes_on_where_a_browser_keeps_nothing_and_says_so(demo: Path, open_page: Open) -> None:
    page = open_page(demo)
    page.add_init_script(REFUSED)
    page.goto(f"{demo.as_uri()}#/set-up/1")
    page.reload()
    expect(page.get_by_text("keeps nothing")).to_be_visible()
    page.get_by_role("button", name="Done, next step").click()
    expect(page.get_by_text("1 of", exact=False).first).to_be_visible()


def test_it_does_not_light_the_set(page: Page) -> None:
    image = page.screenshot()
    assert _mean_light(image) < 0.03


def _mean_light(image: bytes) -> float:
    from io import BytesIO

    import numpy as np
    from PIL import Image

    from materials.colour.srgb import srgb_decode

    return float(np.mean(srgb_decode(np.asarray(Image.open(BytesIO(image)).convert("RGB")) / 255.0)))
