"""What a page can show, each state reached as a person reaches it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

from playwright.sync_api import Page, expect

NO_CLIPBOARD: Final = "() => { navigator.clipboard.writeText = () => Promise.reject(new Error('not allowed')); }"
"""Makes a browser refuse what some refuse of a file: to copy."""

Reach: TypeAlias = Callable[[Page], object]


def _as_opened(_: Page) -> None: ...


def _go_to(page: Page, name: str) -> None:
    link = page.get_by_role("navigation").get_by_role("link", name=name, exact=True)
    link.click()
    heading = page.locator(f"#{link.get_attribute('data-view')}-heading")
    expect(heading).to_be_focused()  # last of all: the view follows the address, which has changed by itself


def _all_unfolded(page: Page) -> None:
    for summary in page.locator("summary:visible").all():
        summary.click()


def _picked(page: Page) -> None:
    for box in page.locator("input[name=pick]").all()[:2]:
        box.check()


def _compared(page: Page) -> None:
    _go_to(page, "Compare")


def _wiped(page: Page) -> None:
    _go_to(page, "Compare")
    page.get_by_label("as a wipe").check()


def _relit(page: Page) -> None:
    _go_to(page, "Relight")
    page.get_by_role("slider", name="exposure").wait_for()


def _relit_and_written(page: Page) -> None:
    _relit(page)
    page.evaluate(NO_CLIPBOARD)
    page.get_by_role("button", name="Copy as arrangement").click()
    page.get_by_role("textbox", name="Arrangement").wait_for()


def _one_step(page: Page) -> None:
    _go_to(page, "Set it up")


def _all_steps(page: Page) -> None:
    _go_to(page, "Set it up")
    page.get_by_label("all steps").check()
    page.get_by_label("dim").uncheck()


STATES: Final[dict[str, Reach]] = {
    "frames": _as_opened,
    "frames, all unfolded": _all_unfolded,
    "frames, two picked": _picked,
    "side by side": _compared,
    "wipe": _wiped,
    "relight": _relit,
    "relight, its text shown": _relit_and_written,
    "one step": _one_step,
    "all steps": _all_steps,
}
