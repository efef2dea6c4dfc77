"""The table of faults in the summary: the fault, how often it was tried, what was lost, and what was said."""

from __future__ import annotations

from typing import Final

from tests.support.notes import note

SECTION: Final = "faults: tried, lost, said"


def note_fault(fault: str, tried: int, lost: str, said: str) -> None:
    """Add a row to the table."""
    note(SECTION, f"{fault:<50} {tried:>6}  {lost:<34} {said}")
