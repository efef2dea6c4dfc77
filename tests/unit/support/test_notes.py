"""Notes travel with reports, and are printed by section in the order of the tests' files."""

from __future__ import annotations

import pytest

from tests.support import notes
from tests.support.notes import attach_notes, note, notes_by_section


def report_of(nodeid: str) -> pytest.TestReport:
    return pytest.TestReport(nodeid, ("", None, ""), {}, "passed", None, "call")


def test_a_report_takes_what_was_noted_since_the_last_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(notes, "_TAKEN", [])
    reports = [report_of(f"tests/{name}.py::test") for name in ("b", "a", "b")]
    for number, report in enumerate(reports):
        note("numbers", f"line {number}")
        note(f"section {number}", "only here")
        attach_notes(report)
    found = notes_by_section(reports)
    assert found["numbers"] == ["line 1", "line 0", "line 2"]
    assert sorted(found) == ["numbers", "section 0", "section 1", "section 2"]
    attach_notes(reports[0])
    assert notes_by_section(reports) == found
