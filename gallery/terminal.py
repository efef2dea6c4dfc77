"""What the commands print: line by line, safe to show, in whatever the terminal can write."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from io import TextIOWrapper
from typing import Any

from scenes.text import printable


def write_any_text() -> None:
    """Have what a terminal's encoding lacks printed as escapes, where it would be an error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def say(*lines: str) -> None:
    """Print lines of what was asked for."""
    for line in lines:
        print(printable(line))


def remark(line: str) -> None:
    """Print a line beside what was asked for, on stderr."""
    print(printable(line), file=sys.stderr)


def answer(facts: dict[str, Any], lines: Callable[[dict[str, Any]], list[str]], as_json: bool) -> None:
    """Print facts as JSON, which escapes what is not ASCII, or as lines for a person."""
    if as_json:
        print(json.dumps(facts, indent=1))
    else:
        say(*lines(facts))
