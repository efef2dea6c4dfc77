"""The page is used by keys alone: everything is reached, in order, seen while it is there, and left again."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.harness.states import STATES
from tests.browser.harness.visiting import LAPTOP, PHONE

MOST_STOPS: Final = 400
FOCUSED: Final = """() => {
  const element = document.activeElement;
  if (element === document.body) return null;
  const box = element.getBoundingClientRect(), style = getComputedStyle(element);
  const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  return {
    name: element.outerHTML.slice(0, 100),
    place: [...document.querySelectorAll("*")].indexOf(element),
    ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    seen: over !== null && (element.contains(over) || over.closest("label")?.control === element),
  };
}"""
REACHABLE: Final = """() => {
  const all = [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")];
  const groups = new Set();
  return all.filter(element => {
    if (element.disabled || !element.checkVisibility({visibilityProperty: true})) return false;
    if (element.type !== "radio") return true;
    const isFirst = !groups.has(element.name);
    groups.add(element.name);
    return isFirst;
  }).length;
}"""


def _stops(page: Page) -> list[dict[str, Any]]:
    """Return what the Tab key reaches, from the page's start until it leaves the page."""
    stops = []
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        stop = page.evaluate(FOCUSED)
        if stop is None:
            break
        stops.append(stop)
    return stops


@pytest.mark.parametrize(
    ("state", "size"), [*((state, LAPTOP) for state in STATES), ("relight", PHONE), ("all steps", PHONE)]
)
def test_the_tab_key_reaches_everything_once_in_order_and_leaves(
    state: str, size: tuple[int, int], demo: Path, open_page: Open
) -> None:
    page = open_page(demo, size, reduced_motion="reduce")
    STATES[state](page)
    page.evaluate("document.body.tabIndex = -1; document.body.focus()")
    reachable = page.evaluate(REACHABLE)
    stops = _stops(page)
    assert len(stops) < MOST_STOPS
    assert len(stops) == reachable
    places = [stop["place"] for stop in stops]
    assert places == sorted(places)
    assert [stop["name"] for stop in stops if not stop["ring"]] == []
    assert [stop["name"] for stop in stops if not stop["seen"]] == []


def test_two_frames_are_compared_and_one_set_up_by_keys_alone(demo: Path, open_page: Open) -> None:
    page = open_page(demo)
    keys = page.keyboard
    keys.press("Tab")
    expect(page.get_by_role("link", name="Skip to the content")).to_be_focused()
    for name in ("Compare rembrandt, matt", "Compare rembrandt, gloss"):
        _tab_to(page, "checkbox", name)
        keys.press("Space")
    _tab_to(page, "link", "Compare them")
    keys.press("Enter")
    expect(page.get_by_role("heading", name="Compare two frames")).to_be_focused()
    _tab_to(page, "radio", "side by side")
    keys.press("ArrowDown")
    _tab_to(page, "slider", "Wipe")
    keys.press("ArrowRight")
    expect(page.get_by_role("slider", name="Wipe")).to_have_value("51")
    _tab_to(page, "link", "Set it up: rembrandt, gloss")
    keys.press("Enter")
    expect(page.get_by_role("combobox", name="Frame", exact=True)).to_have_value("4")
    _tab_to(page, "button", "Done, next step")
    keys.press("Enter")
    expect(page.locator("#steps > li:visible input")).not_to_be_checked()


def _tab_to(page: Page, role: Any, name: str) -> None:
    target = page.get_by_role(role, name=name, exact=True)
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        if target.evaluate("element => element === document.activeElement"):
            return
    raise AssertionError(f"the Tab key does not reach the {role} {name}")
