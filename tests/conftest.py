"""What every run of the tests has: few drawn examples, one cache, one renderer thread a worker, the notes in print."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Generator

import pytest
from hypothesis import settings

from render.images.store.store import FOLDER_VARIABLE
from render.kernel.backend import limit_threads
from tests.support.notes import attach_notes, notes_by_section

# what is slow for once is not wrong: no deadlines
settings.register_profile("few", deadline=None, max_examples=20)
settings.register_profile("many", deadline=None, max_examples=100)
settings.load_profile("few")


def pytest_configure(config: pytest.Config) -> None:
    """Give the run, all its workers together, a cache of its own: what two tests depict is traced once."""
    if not _is_worker():
        cache = tempfile.TemporaryDirectory(prefix="spruelight-tests-")
        config.add_cleanup(cache.cleanup)
        os.environ[FOLDER_VARIABLE] = cache.name


@pytest.fixture(scope="session", autouse=True)
def _one_thread_a_worker() -> None:
    if _is_worker():
        limit_threads(1)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Send what a test noted with its report."""
    report = yield
    attach_notes(report)
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print every section of notes."""
    reports = [report for some in terminalreporter.stats.values() for report in some]
    for section, lines in notes_by_section(r for r in reports if isinstance(r, pytest.TestReport)).items():
        terminalreporter.section(section)
        for line in lines:
            terminalreporter.write_line(line)


def _is_worker() -> bool:
    return "PYTEST_XDIST_WORKER" in os.environ
