"""What sheet.json says of a finished sheet, and its page of where everything stands."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any


def frames_of(sheet: Path) -> list[dict[str, Any]]:
    """Return the facts of each frame, in order."""
    frames: list[dict[str, Any]] = json.loads((sheet / "sheet.json").read_text(encoding="utf-8"))["frames"]
    return frames


def placements_of(page: Path) -> list[list[str]]:
    """Return the sentences of each frame's placement, in order, from what the page's script reads."""
    found = re.search(r'id="content">(.*?)</script>', page.read_text(encoding="utf-8"), re.DOTALL)
    assert found
    return [frame["placement"] for frame in json.loads(found[1])["frames"]]
