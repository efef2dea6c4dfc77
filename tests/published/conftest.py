"""Print the table of published numbers at the end of the run."""

from __future__ import annotations

import warnings

import pytest

from .report import ROWS

with warnings.catch_warnings():
    # the library says at import that plotting is not installed; nothing here plots
    warnings.simplefilter("ignore")
    import colour  # noqa: F401


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print every line that `report` recorded."""
    if ROWS:
        terminalreporter.section("published numbers")
        terminalreporter.write_line("case | source | expected | got | error")
        for row in ROWS:
            terminalreporter.write_line(row)
