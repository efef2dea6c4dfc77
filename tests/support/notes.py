"""Lines that tests add to the summary: the numbers behind what they assert.

They travel with the reports of their tests, so that a run by several workers prints them all.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, cast

import pytest

Note = tuple[str, str]
"""A section of the summary and a line in it: plain, since it is sent from the workers."""

PROPERTY: Final = "notes"
_TAKEN: Final[list[Note]] = []


def note(section: str, line: str) -> None:
    """Add a line to a section of the summary."""
    _TAKEN.append((section, line))


def attach_notes(report: pytest.TestReport) -> None:
    """Attach what was noted since the last report to this one."""
    report.user_properties.append((PROPERTY, _TAKEN.copy()))
    _TAKEN.clear()


def notes_by_section(reports: Iterable[pytest.TestReport]) -> dict[str, list[str]]:
    """Return the lines of all reports by section, ordered by the tests' files."""
    found: dict[str, list[str]] = {}
    for report in sorted(reports, key=lambda report: report.nodeid.partition("::")[0]):
        for section, line in _notes_of(report):
            found.setdefault(section, []).append(line)
    return found


def _notes_of(report: pytest.TestReport) -> list[Note]:
    return [pair for name, notes in report.user_properties if name == PROPERTY for pair in cast(list[Note], notes)]
