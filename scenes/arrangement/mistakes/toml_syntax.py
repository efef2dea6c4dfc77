"""What a line that is not TOML was probably meant to be."""

from __future__ import annotations

import re
import tomllib
from typing import Final

from scenes.text import printable

from .place import LONGEST_VALUE

_BARE: Final = r"^\s*[\w.-]+\s*=\s*"
HINTS: Final = (
    (r"[\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb]", 'quotes are straight, as in name = "desk panel"'),
    (_BARE + r"(True|False|TRUE|FALSE|yes|no|on|off|Yes|No)\s*(#.*)?$", "it is true or false, in small letters"),
    (_BARE + r"-?\d+,\d+\s*(#.*)?$", "decimals have a point, as 18.5"),
    (_BARE + r"-?[\d.]+\s*/\s*[\d.]+", 'a fraction stands in quotes, as "1/60"'),
    (_BARE + r"-?[\d.]+\s*[^\d\s.,\]#]", "a number stands alone, its unit is in the key, as height_cm = 18"),
    (r"^\s*[\w.-]+\s*:", 'between key and value stands =, as height_cm = 18'),
    (r"^\s*\[[^\]]*$", "a section ends with its bracket, as [subject]"),
    (r'^[^"]*"[^"]*\\[^"]*"', "in quotes write / in place of \\, as meshes/hull.stl"),
    (r'^[^"#]*"[^"]*$', 'text ends with its quote, as in name = "desk panel"'),
    (_BARE + r"""[^\s"'\[{\d+-]""", 'text stands in quotes, as in name = "desk panel"'),
    (_BARE + r"(#.*)?$", "after = stands a value"),
    (r"^\s*[{<]", "an arrangement is written in TOML, as [subject] and its keys below it, each key = value"),
)  # fmt: skip
"""Patterns of a line, and what would be right."""
TWICE: Final = {
    r"declare \('([^)]*?),?\) twice": "[{0}] stands there twice: keep one and put all its keys below it; "
    "several lamps or cards have double brackets, as [[lamps]]",
    "overwrite a value": "its key stands there twice: keep one",
}


def syntax_sentence(text: str, error: tomllib.TOMLDecodeError) -> str:
    """Return what is wrong with a text that tomllib refused: the line, where it is known, and what is right."""
    message = str(error)
    at = re.search(r"\(at line (\d+), column \d+\)", message)
    lines = text.splitlines()
    if at is None or not 1 <= int(at[1]) <= len(lines):
        return f"not valid TOML: {message[:1].lower()}{message[1:]}"
    line = lines[int(at[1]) - 1]
    why = _twice(message) or next((hint for pattern, hint in HINTS if re.search(pattern, line)), None)
    shown = printable(line.strip(), LONGEST_VALUE)
    reason = why or f"{message[:1].lower()}{message[1:]}".replace(f" {at[0]}", "")
    return f"line {at[1]} is not valid TOML: {shown}: {reason}"


def _twice(message: str) -> str | None:
    for pattern, sentence in TWICE.items():
        if found := re.search(pattern, message):
            return sentence.format(*(name.replace("'", "").replace(", ", ".") for name in found.groups()))
    return None
