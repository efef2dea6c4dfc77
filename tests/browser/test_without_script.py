"""Where no script runs, the frames and all that is said of them are still there."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import SIZE, Open
from tests.browser.harness.sheet_facts import frames_of, placements_of


def test_frames_placements_and_readings_are_there(sheet: Path, demo: Path, open_page: Open) -> None:
    page = open_page(demo, java_script_enabled=False)
    for facts, placement in zip(frames_of(sheet), placements_of(demo), strict=True):
        frame = page.get_by_role("article", name=f"{facts['setup']}, {facts['finish']}", exact=True)
        box = frame.get_by_role("img").bounding_box()
        assert box is not None
        assert box["width"] >= SIZE[0]
        for folded in frame.locator("summary").all():
            folded.click()
        for line in placement:
            expect(frame.get_by_text(line, exact=True)).to_be_visible()
        expect(frame.get_by_text(f"{facts['readings']['subject_lux']:.0f} lux", exact=True)).to_be_visible()


def test_nothing_is_shown_that_would_do_nothing(demo: Path, open_page: Open) -> None:
    page = open_page(demo, java_script_enabled=False)
    controls = page.locator("button, input, select, textarea")
    assert controls.count() > 0
    assert [control.evaluate("e => e.outerHTML") for control in controls.all() if control.is_visible()] == []
