"""On a phone, a laptop and a wide screen, and at four times the size of letters, nothing sticks out or is cut off."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.conftest import Open
from tests.browser.harness.accessibility import cut_text, sideways_px
from tests.browser.harness.states import STATES
from tests.browser.harness.visiting import LAPTOP, PHONE, WIDE, on_phone

REFLOW = (320, 256)
"""What is left of a laptop's window at 400 % (WCAG 2.2, success criterion 1.4.10)."""
SPACED = """() => {
  const style = new CSSStyleSheet();
  style.replaceSync(`
    * { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; }
    p { margin-bottom: 2em !important; }
  `);
  document.adoptedStyleSheets = [style];
}"""
"""As wide as a person may set it (WCAG 2.2, success criterion 1.4.12)."""
SCREENS: dict[str, tuple[tuple[int, int], dict[str, Any]]] = {
    "phone": (PHONE, on_phone()), "laptop": (LAPTOP, {}), "wide": (WIDE, {}), "400 %": (REFLOW, {})
}  # fmt: skip


@pytest.mark.parametrize(("names", "screen"), [*(("demo", screen) for screen in SCREENS), ("strange", "phone")])
def test_everything_fits(names: str, screen: str, request: pytest.FixtureRequest, open_page: Open) -> None:
    file: Path = request.getfixturevalue(names)
    size, settings = SCREENS[screen]
    for state, reach in STATES.items():
        page = open_page(file, size, **settings)
        reach(page)
        assert (state, sideways_px(page), cut_text(page)) == (state, 0, [])
        page.context.close()


def test_no_text_is_cut_where_a_person_spaces_it_out(demo: Path, open_page: Open) -> None:
    for state, reach in STATES.items():
        page = open_page(demo, PHONE, **on_phone())
        page.evaluate(SPACED)
        reach(page)
        assert (state, sideways_px(page), cut_text(page)) == (state, 0, [])
        page.context.close()
