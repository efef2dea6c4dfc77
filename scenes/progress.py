"""Progress of work that takes a while, reported step by step."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

Progress: TypeAlias = Callable[[str], None]
"""Called with a description of each step as it begins."""


def no_progress(_: str) -> None:
    """Report nothing."""
