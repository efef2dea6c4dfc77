"""Plain data as text in TOML."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from scenes.text import is_printable


def toml_value(value: Any) -> str:
    """Return a value in TOML, on one line; a number with the digits that read back as the same number.

    Parameters
    ----------
    value
        Text, a truth value, a finite number, or a list or a table of those.
    """
    match value:
        case bool():
            return "true" if value else "false"
        case float():
            return toml_number(value)
        case int():
            return str(value)
        case str():
            return toml_string(value)
        case Mapping():
            return "{" + ", ".join(f"{toml_key(key)} = {toml_value(inner)}" for key, inner in value.items()) + "}"
        case Sequence():
            return "[" + ", ".join(map(toml_value, value)) + "]"
    raise TypeError(f"TOML has no {type(value).__name__}")


def toml_number(number: float) -> str:
    """Return a finite number in TOML: the fewest digits that read back as the same, a whole number without a point."""
    text = repr(number)
    whole = text.removesuffix(".0")
    return text if number == 0 and math.copysign(1.0, number) < 0 else whole


def toml_string(text: str) -> str:
    """Return text as a basic string of TOML."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if is_printable(c) else f"\\U{ord(c):08X}" for c in escaped) + '"'


def toml_key(key: str) -> str:
    """Return a key of TOML: bare where it can be, else quoted."""
    return key if key.isascii() and key.replace("-", "").replace("_", "").isalnum() else toml_string(key)
