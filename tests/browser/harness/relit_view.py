"""The view in which a frame is relit: its controls by their names, and the pixels of its canvas."""

from __future__ import annotations

import base64
import json
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Locator, Page

DRAWN = "new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(drawn)))"


@dataclass(frozen=True)
class RelitView:
    """A page that shows the view."""

    page: Page

    @classmethod
    def of(cls, page: Page, frame: str) -> RelitView:
        """Return the view of a frame, by its name, as soon as its light is read."""
        page.get_by_role("navigation").get_by_role("link", name="Relight", exact=True).click()
        page.get_by_role("combobox", name="Frame", exact=True).select_option(frame)
        view = cls(page)
        view.slider("exposure").wait_for()
        return view

    @property
    def content(self) -> dict[str, Any]:
        """The facts that the page's script reads."""
        facts: dict[str, Any] = json.loads(self.page.locator("#content").text_content() or "")
        return facts

    def facts(self, name: str) -> dict[str, Any]:
        """Return the facts of a frame."""
        return next(frame for frame in self.content["frames"] if frame["name"] == name)

    def slider(self, name: str) -> Locator:
        """Return a slider."""
        return self.page.get_by_role("slider", name=name, exact=True)

    def set(self, name: str, value: float) -> None:
        """Type a value in the field beside a slider."""
        field = self.page.get_by_role("group", name=name, exact=True).get_by_role("spinbutton")
        field.fill(f"{value:g}")
        field.press("Enter")

    def press(self, name: str) -> None:
        """Press a button."""
        self.page.get_by_role("button", name=name, exact=True).click()

    def pixels(self) -> NDArray[np.uint8]:
        """Return what the canvas shows, (height, width, 3) in sRGB."""
        self.page.evaluate(DRAWN)
        url: str = self.page.locator("canvas").evaluate("canvas => canvas.toDataURL()")
        return decoded(url)


def decoded(url: str) -> NDArray[np.uint8]:
    """Return the picture of a data URL, (height, width, 3) in sRGB."""
    return np.asarray(Image.open(BytesIO(base64.b64decode(url.partition(",")[2]))).convert("RGB"))
