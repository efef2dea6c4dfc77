"""How quickly a page follows a slider: `python -m tests.bench.page.speed PAGE.html`, in this machine's Chromium."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

from playwright.sync_api import sync_playwright

from tests.browser.harness.chromium import find_chromium
from tests.browser.harness.relit_view import RelitView
from tests.browser.harness.visiting import FLAGS, visit

PACE: Final = """async () => {
  const slider = document.querySelector("#relight input[type=range]");
  const canvas = document.querySelector("canvas");
  const painted = () => new Promise(requestAnimationFrame);
  const pictures = 60;
  for (let i = 0; i < 5; i++) await painted();
  const begin = performance.now();
  for (let i = 0; i < pictures; i++) {
    slider.value = i;
    slider.dispatchEvent(new Event("input"));
    await painted();
  }
  return [canvas.width, canvas.height, 1000 * pictures / (performance.now() - begin)];
}"""
"""Moves the first lamp's dimmer as soon as the last picture is painted, sixty times a second at most."""


def main() -> None:
    """Print pictures a second of each frame of a page."""
    file = Path(sys.argv[1]).resolve()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=list(FLAGS))
        with visit(browser, file) as page:
            for name in page.locator("#to-relight option").all_text_contents():
                width, height, rate = RelitView.of(page, name).page.evaluate(PACE)
                lamps = page.locator("#light-controls legend").count() - 1
                print(f"{name}: {rate:.0f} pictures a second at {width}x{height}, lamps: {lamps}")
        browser.close()


if __name__ == "__main__":
    main()
