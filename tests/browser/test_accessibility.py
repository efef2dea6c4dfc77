"""WCAG 2.2 AA as far as rules find it, by day and by night, in everything that the page can show."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from tests.browser.conftest import Open
from tests.browser.harness.accessibility import small_targets, violations
from tests.browser.harness.states import STATES, Reach
from tests.browser.harness.visiting import PHONE, on_phone

MOVING: Final = """() => [...document.querySelectorAll("*")].filter(element => {
  const style = getComputedStyle(element);
  const longest = (durations) => Math.max(...durations.split(",").map(parseFloat));
  return longest(style.transitionDuration) > 0 || longest(style.animationDuration) > 0
    || style.scrollBehavior === "smooth";
}).length"""


@pytest.mark.parametrize("appearance", ["light", "dark"])
@pytest.mark.parametrize("reach", STATES.values(), ids=STATES)
def test_axe_finds_nothing(reach: Reach, appearance: str, demo: Path, open_page: Open) -> None:
    page = open_page(demo, color_scheme=appearance)
    reach(page)
    assert violations(page) == []


@pytest.mark.parametrize("reach", STATES.values(), ids=STATES)
def test_what_is_pressed_is_24_pixels_wide_and_high(reach: Reach, demo: Path, open_page: Open) -> None:
    page = open_page(demo, PHONE, **on_phone())
    reach(page)
    assert small_targets(page) == []


def test_nothing_moves_by_itself_where_the_person_wants_no_motion(demo: Path, open_page: Open) -> None:
    assert open_page(demo, reduced_motion="reduce").evaluate(MOVING) == 0
