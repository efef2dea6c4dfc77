"""Output of the commands: line by line, safe to show, in whatever the terminal can write."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from io import TextIOWrapper
from pathlib import Path
from typing import Any

from scenes.text import printable


def escape_unencodable() -> None:
    """Print characters that the terminal's encoding lacks as escapes, where they would be an error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def print_lines(*lines: str) -> None:
    """Print lines of a result, flushed: a reader who has gone, as `head -1`, is an error here and not at exit."""
    for line in lines:
        print(printable(line))
    sys.stdout.flush()


def print_json(data: dict[str, Any]) -> None:
    """Print data as JSON, which escapes what is not ASCII."""
    print(json.dumps(data, indent=1), flush=True)


def print_facts(facts: dict[str, Any], lines: Callable[[dict[str, Any]], list[str]], as_json: bool) -> None:
    """Print facts as JSON, or as lines for a person."""
    if as_json:
        print_json(facts)
    else:
        print_lines(*lines(facts))


def print_note(line: str) -> None:
    """Print a line beside the result, on stderr."""
    print(printable(line), file=sys.stderr)


def print_written(picture: Path, as_json: bool) -> None:
    """Print the path of a picture, or the facts in the JSON file beside it."""
    if as_json:
        print(picture.with_suffix(".json").read_text(encoding="utf-8"), end="", flush=True)
    else:
        print_lines(str(picture))
