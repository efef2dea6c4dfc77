"""Text in Markdown that stays text (CommonMark 0.31, and the tables and bare links of GitHub's)."""

from __future__ import annotations

import re
from typing import Final

from scenes.text import printable

_SPECIAL: Final = re.compile(r"([\\`*_{}\[\]<>#|~&!$@]|(?<=:)//|(?<=www)\.)", re.IGNORECASE)
_AT_START: Final = re.compile(r"^([-+](?=[-+\s]|$)|=|\d{1,9}(?=[.)](?:\s|$)))")


def markdown_text(text: object) -> str:
    """Return text, or a number's, on one line whose characters mean nothing in Markdown."""
    line = _SPECIAL.sub(lambda found: "".join(f"\\{mark}" for mark in found[0]), printable(str(text)))
    return _AT_START.sub(lambda found: f"\\{found[0]}" if not found[0][0].isdigit() else f"{found[0]}\\", line)
