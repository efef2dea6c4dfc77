"""What sheet.json says of a finished sheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any


def frames_of(sheet: Path) -> list[dict[str, Any]]:
    """Return the facts of each frame, in order."""
    frames: list[dict[str, Any]] = json.loads((sheet / "sheet.json").read_text(encoding="utf-8"))["frames"]
    return frames
