"""Print what tests noted at the end of the run; drawn examples may take their time."""

from __future__ import annotations

import pytest
from hypothesis import settings

from tests.support.notes import SECTIONS

settings.register_profile("busy machine", deadline=None)  # what is slow for once is not wrong
settings.load_profile("busy machine")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print every section of notes."""
    for section, lines in SECTIONS.items():
        terminalreporter.section(section)
        for line in lines:
            terminalreporter.write_line(line)
