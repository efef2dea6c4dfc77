"""The command, run in this process up to the first picture that would be looked up or traced, and judged."""

from __future__ import annotations

import re
import unicodedata
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Final, NoReturn
from unittest.mock import patch

from render.images.store.store import Store
from tests.support.command import Ran, run

FINE: Final = ("exit 0", "exit 2")
"""The outcomes that are right."""


def outcome(words: Sequence[str], folder: Path) -> str:
    """Return how the command ended in a folder: one of `FINE`, or what is wrong with it."""
    with warnings.catch_warnings(record=True) as warned, patch.object(Store, "__init__", _end_here):
        warnings.simplefilter("always")
        try:
            ran = run(folder, *words)
        except BaseException as error:  # whatever it is, it is what is looked for
            return f"{type(error).__name__}: {error}"
    return f"warned: {warned[0].filename}: {warned[0].message}" if warned else _judged(ran)


def _judged(ran: Ran) -> str:
    printed = ran.stdout + ran.stderr
    if ran.returncode not in (0, 2):
        return f"exit {ran.returncode}: {ran.stderr}"
    if re.search("memory|allocat", ran.stderr, re.IGNORECASE):  # a refusal that the limit of memory caused
        return f"out of memory: {ran.stderr}"
    if any(unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp") for c in printed.replace("\n", "")):
        return f"control characters: {printed!r}"
    lines = ran.stderr.splitlines()
    is_sentences = bool(lines) and all(line.startswith("spruelight: ") for line in lines)
    if ran.returncode == 2 and (ran.stdout or not is_sentences):
        return f"no sentences: {printed}"
    return f"exit {ran.returncode}"


def _end_here(_store: Store, **_: object) -> NoReturn:
    """Take the place of what opens the cache: what comes after it traces."""
    raise SystemExit(0)
