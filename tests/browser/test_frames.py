"""All frames: each is there with its words, and any of them can be left out."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import FINISHES, SETUPS, SIZE, Open
from tests.browser.harness.sheet_facts import frames_of, placements_of

ALL = [(setup, finish) for setup in SETUPS for finish in FINISHES]


@pytest.fixture
def page(demo: Path, open_page: Open) -> Page:
    return open_page(demo)


def _frame(page: Page, setup: str, finish: str) -> Locator:
    return page.get_by_role("article", name=f"{setup}, {finish}", exact=True)


def _shown(page: Page) -> list[tuple[str, str]]:
    return [frame for frame in ALL if _frame(page, *frame).is_visible()]


def test_every_frame_is_there_with_a_text_of_its_own_in_place_of_the_picture(page: Page) -> None:
    assert _shown(page) == ALL
    pictures = [_frame(page, *frame).get_by_role("img") for frame in ALL]
    assert [picture.evaluate("img => [img.naturalWidth, img.naturalHeight]") for picture in pictures] == [
        list(SIZE)
    ] * len(ALL)
    texts = [picture.get_attribute("alt") or "" for picture in pictures]
    assert len(set(texts)) == len(ALL)
    assert min(map(len, texts)) > 60  # it says what the light does


def test_placement_and_readings_of_a_frame_are_beside_it(sheet: Path, demo: Path, page: Page) -> None:
    for facts, placement in zip(frames_of(sheet), placements_of(demo), strict=True):
        frame = _frame(page, facts["setup"], facts["finish"])
        frame.locator("summary").filter(has_text="Where everything stands").click()
        for line in placement:
            expect(frame.get_by_text(line, exact=True)).to_be_visible()
        frame.locator("summary").filter(has_text="Readings").click()
        expect(frame.get_by_text(f"{facts['readings']['subject_lux']:.0f} lux", exact=True)).to_be_visible()


def test_frames_are_filtered_by_setup_and_finish(page: Page) -> None:
    page.get_by_text("Choose which are shown").click()
    page.get_by_label("rembrandt", exact=True).uncheck()
    page.get_by_label("gloss", exact=True).uncheck()
    assert _shown(page) == [(setup, "matt") for setup in SETUPS if setup != "rembrandt"]
    expect(page.get_by_role("status").first).to_have_text("3 of 8 frames are shown.")
    page.get_by_role("button", name="None").first.click()
    assert _shown(page) == []
    page.get_by_role("button", name="All setups").click()
    page.get_by_role("button", name="All finishes").click()
    assert _shown(page) == ALL
