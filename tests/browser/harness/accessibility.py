"""What an auditor measures of a page: axe-core's rules, the size of what is pressed, what sticks out or is cut off."""

from __future__ import annotations

from typing import Any, Final, cast

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

RULES: Final = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
LEAST_TARGET_PX: Final = 24
"""WCAG 2.2, success criterion 2.5.8."""

SMALL_TARGETS: Final = """(least) => [...document.querySelectorAll("button, input, select, textarea, summary, a[href]")]
  .filter(element => element.checkVisibility({visibilityProperty: true}))
  .map(element => {
    const label = ["checkbox", "radio"].includes(element.type) ? element.labels[0] ?? element : element;
    return [element, label.getBoundingClientRect()];
  })
  .filter(([, box]) => box.width && (box.width < least || box.height < least))
  .map(([element, box]) => `${element.outerHTML.slice(0, 120)}: ${box.width} x ${box.height}`)"""

CUT_TEXT: Final = """() => {
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const cut = [], scrolling = new Set(["auto", "scroll"]);
  while (texts.nextNode()) {
    const element = texts.currentNode.parentElement;
    if (!texts.currentNode.data.trim() || !element.checkVisibility({visibilityProperty: true})) continue;
    const range = document.createRange();
    range.selectNodeContents(texts.currentNode);
    const box = range.getBoundingClientRect();
    for (let outer = element; outer !== document.body && outer; outer = outer.parentElement) {
      const style = getComputedStyle(outer), edge = outer.getBoundingClientRect();
      if (edge.width <= 1 || scrolling.has(style.overflowX)) break; // for screen readers alone; scrolls by itself
      const clips = style.overflowX !== "visible" && (box.right > edge.right + 1 || box.left < edge.left - 1);
      if (clips || box.right > innerWidth + 1) {
        cut.push(texts.currentNode.data.trim().slice(0, 80));
        break;
      }
    }
  }
  return cut;
}"""


def violations(page: Page) -> list[str]:
    """Return what axe-core finds wrong with a page as it is shown now, one sentence an element."""
    response: dict[str, Any] = Axe().run(page, options={"runOnly": list(RULES)}).response
    return [
        f"{rule['id']}: {rule['help']}: {node['html'][:160]}: {node['failureSummary']}"
        for rule in response["violations"]
        for node in rule["nodes"]
    ]


def small_targets(page: Page) -> list[str]:
    """Return what can be pressed and is smaller than 24 pixels; of a box to tick its label counts."""
    return cast("list[str]", page.evaluate(SMALL_TARGETS, LEAST_TARGET_PX))


def cut_text(page: Page) -> list[str]:
    """Return the texts that are cut off at a side, by the window or by what they stand in."""
    return cast("list[str]", page.evaluate(CUT_TEXT))


def sideways_px(page: Page) -> int:
    """Return by how many pixels the page is wider than its window."""
    return cast("int", page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))
