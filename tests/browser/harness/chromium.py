"""The browser of this machine that the tests drive, by its path; run as a program, it is installed where that can be.

`CHROMIUM` names another than the first on the PATH.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from typing import Final

VARIABLE: Final = "CHROMIUM"
NAMES: Final = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
PACKAGES: Final = ("chromium", "fonts-dejavu-core")
"""What Debian calls the browser, and letters of many scripts."""
BY_HAND: Final = (
    f"no {', '.join(NAMES[:-1])} or {NAMES[-1]} is on the PATH: install Chromium, as sudo apt-get install"
    f" {' '.join(PACKAGES)}, or name one, as {VARIABLE}=/opt/chrome/chrome make test-browser"
)


def find_chromium() -> str | None:
    """Return the path of the browser, or None."""
    if named := os.environ.get(VARIABLE):
        return shutil.which(named)
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def remedy() -> str:
    """Return what to do where there is none, in one line."""
    named = os.environ.get(VARIABLE)
    return f"{VARIABLE}={named}: no such program" if named else BY_HAND


def install_chromium() -> None:
    """Install the browser where apt may; whatever it says goes to stderr."""
    if shutil.which("apt-get") is None or not hasattr(os, "geteuid") or os.geteuid() != 0:
        return
    unattended = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update", "-qq"], ["install", "-qq", "--yes", "--no-install-recommends", *PACKAGES]):
        subprocess.run(["apt-get", *words], check=False, stdout=sys.stderr, env=unattended)


if __name__ == "__main__":
    if find_chromium() is None and VARIABLE not in os.environ:
        install_chromium()
    if find_chromium() is None:
        print(remedy(), file=sys.stderr)
        raise SystemExit(2)
