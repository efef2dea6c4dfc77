"""The command, run in this process up to the first picture that would be looked up or traced."""

from __future__ import annotations

import contextlib
import io
import sys
import unicodedata
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, NoReturn
from unittest.mock import patch

from gallery.cli import main
from render.images.store import Store

FINE: Final = ("exit 0", "exit 2")
"""The outcomes that are right."""


def outcome(words: Sequence[str], folder: Path) -> str:
    """Return how the command ended in a folder: one of `FINE`, or what is wrong with it."""
    printed, remarked = io.StringIO(), io.StringIO()
    with (
        contextlib.chdir(folder),
        warnings.catch_warnings(record=True) as warned,
        patch.object(sys, "argv", ["spruelight", *words]),
        patch.object(Store, "__init__", _end_here),
        contextlib.redirect_stdout(printed),
        contextlib.redirect_stderr(remarked),
    ):
        warnings.simplefilter("always")
        try:
            main()
            status: Any = 0
        except SystemExit as end:
            status = end.code or 0
        except BaseException as error:  # whatever it is, it is what is looked for
            return f"{type(error).__name__}: {error}"
    if warned:
        return f"warned: {warned[0].filename}: {warned[0].message}"
    return _judged(status, printed.getvalue(), remarked.getvalue())


def _judged(status: object, printed: str, remarked: str) -> str:
    if status not in (0, 2):
        return f"exit {status}: {remarked}"
    if any(unicodedata.category(c)[0] == "C" or c in "\u2028\u2029" for c in (printed + remarked).replace("\n", "")):
        return f"control characters: {printed + remarked!r}"
    if status == 2 and (printed or not remarked.startswith("spruelight: ") or len(remarked.splitlines()) != 1):
        return f"no single sentence: {printed}{remarked}"
    return f"exit {status}"


def _end_here(_store: Store) -> NoReturn:
    """Take the place of what opens the cache: what comes after it traces."""
    raise SystemExit(0)
