"""One damaged input: the files that it writes, and the words of the command that reads them."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

Files: TypeAlias = dict[str, bytes]
"""Contents by name."""


@dataclass(frozen=True)
class Case:
    """Files damaged, and the command that reads them in the folder where they are written."""

    files: Files
    words: tuple[str, ...]


Draw: TypeAlias = Callable[[random.Random], Case]
"""Draws one damaged input of a kind."""
