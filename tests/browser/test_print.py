"""On paper stand the frames and what is folded on the screen."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pypdfium2.raw
import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Open
from tests.browser.harness.sheet_facts import frames_of, placements_of
from tests.browser.harness.states import STATES


def _printed(page: Page) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(page.pdf(format="A4", margin=dict.fromkeys(("top", "left"), "1.5cm")))


def _text(printed: pypdfium2.PdfDocument) -> str:
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in printed)


@pytest.fixture
def printed(demo: Path, open_page: Open) -> pypdfium2.PdfDocument:
    return _printed(open_page(demo))


def test_every_frame_is_printed_once(sheet: Path, printed: pypdfium2.PdfDocument) -> None:
    pictures = [image for page in printed for image in page.get_objects([pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])]
    assert len(pictures) == len(frames_of(sheet))


def test_placements_are_printed_and_no_controls(demo: Path, printed: pypdfium2.PdfDocument) -> None:
    text = _text(printed)
    for line in {line for placement in placements_of(demo) for line in placement}:
        assert line in text
    assert "Choose which are shown" not in text
    assert "Appearance" not in text


def test_all_steps_are_printed_though_one_is_shown(demo: Path, open_page: Open) -> None:
    page = open_page(demo)
    STATES["one step"](page)
    headings = page.locator("#steps > li > label").all_text_contents()
    text = _text(_printed(page))
    assert len(headings) > 5
    assert [heading for heading in headings if heading.strip() not in text] == []
