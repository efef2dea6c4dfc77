"""A page opened from its file as a person opens it: on a laptop or a phone, in the dark, by touch, without script."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, Route

FLAGS: Final = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
WIDE: Final = (1920, 1200)
LAPTOP: Final = (1280, 800)
PHONE: Final = (390, 844)
WAIT_MS: Final = 10_000
"""How long the page may take for anything."""
WRONG: Final = ("error", "warning")


@dataclass
class Watch:
    """What must not happen while a page is open: requests to anywhere but its own file, and complaints.

    Addresses that begin with `beside`, where there is one, are its own too.
    """

    own: str
    beside: str = ""
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def observe(self, context: BrowserContext) -> None:
        """Note what every page of a context does, and let no request out."""
        context.route("**/*", self._block)
        context.on("request", self._note_request)
        context.on("console", self._note_message)
        context.on("weberror", lambda error: self.complaints.append(str(error.error)))

    def _is_own(self, url: str) -> bool:
        beside = (self.beside,) if self.beside else ()
        return url.partition("#")[0] == self.own or url.startswith(("data:", "blob:", *beside))

    def _block(self, route: Route) -> None:
        if self._is_own(route.request.url):
            route.continue_()
        else:
            route.abort()

    def _note_request(self, request: Request) -> None:
        if not self._is_own(request.url):
            self.requests.append(request.url)

    def _note_message(self, message: ConsoleMessage) -> None:
        if message.type in WRONG:
            self.complaints.append(message.text)


@contextmanager
def visit(
    browser: Browser, file: Path, size: tuple[int, int] = LAPTOP, *, beside: bool = False, **settings: Any
) -> Iterator[Page]:
    """Open a file in a window of `size` pixels, without a network; `settings` are those of Playwright's contexts.

    With `beside` it may show what lies in the folders beside it.

    Raises
    ------
    AssertionError
        Where the page asks for anything else than itself, or the browser complains of it.
    """
    watch = Watch(file.as_uri(), f"{file.parent.as_uri()}/" if beside else "")
    width, height = size
    context = browser.new_context(viewport={"width": width, "height": height}, offline=True, **settings)
    try:
        context.set_default_timeout(WAIT_MS)
        watch.observe(context)
        page = context.new_page()
        page.goto(watch.own)
        yield page
    finally:
        context.close()
    wrong = [*(f"{file.name} asks for {url}" for url in watch.requests), *watch.complaints]
    assert not wrong, "\n".join(wrong)


def on_phone(**settings: Any) -> dict[str, Any]:
    """Return the settings of a phone: a touch screen of twice the pixels."""
    return {"has_touch": True, "is_mobile": True, "device_scale_factor": 2, **settings}
