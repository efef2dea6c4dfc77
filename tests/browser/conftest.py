"""One browser for all tests, and pages made once: of the demo, and of an arrangement whose names mean harm."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.harness.chromium import find_chromium, remedy
from tests.browser.harness.strange_names import write_strange
from tests.browser.harness.visiting import FLAGS, LAPTOP, visit
from tests.support.command import run

SIZE = (120, 160)
SETUPS = ("butterfly-card", "rembrandt", "rim-fill", "three-point")
FINISHES = ("matt", "gloss")

Open: TypeAlias = Callable[..., Page]
"""Opens a file, as `visit`; the page is closed after the test, and was then quiet."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Give the browser of this machine."""
    path = find_chromium()
    if path is None:
        pytest.exit(remedy(), returncode=2)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Open]:
    """Give what opens a file in the browser."""
    with ExitStack() as visits:

        def opens(file: Path, size: tuple[int, int] = LAPTOP, **settings: Any) -> Page:
            return visits.enter_context(visit(browser, file, size, **settings))

        yield opens


@pytest.fixture(scope="session")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a finished sheet of the demo model, four setups in two finishes."""
    chosen = [word for setup in SETUPS for word in ("--setup", setup)]
    chosen += [word for finish in FINISHES for word in ("--finish", finish)]
    return _sheet(tmp_path_factory.mktemp("demo"), *chosen)


@pytest.fixture(scope="session")
def demo(sheet: Path) -> Path:
    """Give the page of the demo model's sheet."""
    return _page(sheet)


@pytest.fixture(scope="session")
def strange_sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a finished sheet of an arrangement full of markup, quotes, letters from right to left and long names."""
    folder = tmp_path_factory.mktemp("strange")
    write_strange(folder)
    return _sheet(folder, "strange.toml", "--setup", "rembrandt", "--setup", "rim-fill")


@pytest.fixture(scope="session")
def strange(strange_sheet: Path) -> Path:
    """Give the page of that sheet."""
    return _page(strange_sheet)


def _sheet(folder: Path, *words: str) -> Path:
    ran = run(folder, "sheet", *words, "--size", f"{SIZE[0]}x{SIZE[1]}")
    assert ran.returncode == 0, ran.stderr
    return folder / "sheet"


def _page(sheet: Path) -> Path:
    ran = run(sheet.parent, "page", sheet.name)
    assert ran.returncode == 0, ran.stderr
    return sheet / "page.html"
