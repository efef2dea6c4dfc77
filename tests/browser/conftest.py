"""One browser for all tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.chromium import find_chromium, remedy
from tests.browser.visiting import FLAGS, LAPTOP, visit

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
