"""Lines that tests add to the summary: the numbers behind what they assert."""

from __future__ import annotations

from typing import Final

SECTIONS: Final[dict[str, list[str]]] = {}
"""The lines of this test run by section; `conftest.py` prints them."""


def note(section: str, line: str) -> None:
    """Add a line to a section of the summary."""
    SECTIONS.setdefault(section, []).append(line)
