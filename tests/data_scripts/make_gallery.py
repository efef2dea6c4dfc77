"""Remakes the pictures that the README shows, in gallery/images, by the project's own commands: `make gallery`."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import numpy as np

from gallery.files.pictures import read_picture, write_picture
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.browser.harness.chromium import find_chromium, remedy
from tests.support.command import run
from tests.support.sheets.readme_pictures import (
    IMAGES,
    sheet_frames,
    sheet_picture,
    shrunk,
    strip_frames,
    strip_picture,
)

DRAWING_PX: Final = 900
"""Width of a page of paper, its letters readable."""
STRANGERS_PX: Final = 1000
MARGIN_PX: Final = 40
TANK: Final = ("stand-in:tank", "--length-cm", "20", "--setup", "loop", "--setup", "three-point", "--setup", "raking")
BUST: Final = (
    "stand-in:bust", "--height-cm", "12", "--setup", "butterfly", "--setup", "rembrandt", "--setup", "split",
    "--setup", "rim-fill",
)  # fmt: skip


def main() -> None:
    """Write every picture, under 400 KB; of the HTML page only where there is a Chromium."""
    tracing = Tracing(Store())
    write_picture(IMAGES / "sheet.jpg", sheet_picture(sheet_frames(tracing)))
    write_picture(IMAGES / "strip.jpg", strip_picture(strip_frames(tracing)))
    with TemporaryDirectory() as name:
        folder = Path(name)
        for subject, words in (("tank", TANK), ("bust", BUST)):
            _spruelight(folder, "sheet", *words, "--out", subject)
            _write_shrunk(folder / subject / "sheet.png", f"{subject}.jpg", STRANGERS_PX)
        _spruelight(folder, "diagram", "rembrandt", "--out", "diagram.png")
        _write_shrunk(folder / "diagram.png", "diagram.png", DRAWING_PX)
        _write_shrunk(folder / "diagram-2.png", "checklist.jpg", DRAWING_PX)
        _spruelight(folder, "diagram", "rembrandt", "--mat", "--out", "mat.png")
        _write_shrunk(folder / "mat.png", "mat.png", DRAWING_PX)
        _spruelight(folder, "sheet", "--out", "demo")
        _spruelight(folder, "page", "demo")
        _photograph(folder / "demo" / "page.html")


def _spruelight(folder: Path, *words: str) -> None:
    ran = run(folder, *words)
    if ran.returncode:
        raise SystemExit(ran.stderr)


def _write_shrunk(path: Path, name: str, width: int) -> None:
    """Write a picture small, without colour where it has none, and without what is empty at its foot."""
    picture = read_picture(path).astype(np.uint8)[..., :3]
    lowest = np.flatnonzero((picture != picture[-1, -1]).any(axis=(1, 2)))[-1]
    small = shrunk(picture[: lowest + MARGIN_PX], width)
    grey = small[..., 0]
    write_picture(IMAGES / name, grey if (small == grey[..., None]).all() else small)


def _photograph(page: Path) -> None:
    """Write what a window of a laptop shows of a page, with a frame of several lamps to be relit."""
    path = find_chromium()
    if path is None:
        print(f"page.jpg stays as it was: {remedy()}", file=sys.stderr)
        return
    from playwright.sync_api import sync_playwright

    from tests.browser.harness.visiting import FLAGS, visit

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        with visit(browser, page) as window:
            window.get_by_role("link", name="Relight three-point").click()
            window.locator("canvas:visible").wait_for()
            window.mouse.move(0, 0)
            window.screenshot(path=page.with_name("page.png"))
        browser.close()
    write_picture(IMAGES / "page.jpg", read_picture(page.with_name("page.png")).astype(np.uint8)[..., :3])


if __name__ == "__main__":
    main()
