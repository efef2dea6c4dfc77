"""Print what tests noted at the end of the run."""

from __future__ import annotations

import pytest

from .notes import SECTIONS


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print every section of notes."""
    for section, lines in SECTIONS.items():
        terminalreporter.section(section)
        for line in lines:
            terminalreporter.write_line(line)
