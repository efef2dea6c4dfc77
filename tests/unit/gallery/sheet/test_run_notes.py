"""A run says at once when it is about to replace a sheet that shows something else."""

from __future__ import annotations

from pathlib import Path

import pytest

from gallery.budget.goal import goal_of
from gallery.sheet.contact_sheet import ContactSheet, write_sheet
from gallery.sheet.request import shots_fingerprint
from gallery.sheet.run_notes import RunNotes
from tests.support.sheets.frames import unlit_frame


def test_a_sheet_of_something_else_is_not_replaced_without_a_word(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    loop, rim = (unlit_frame(setup, "as-built") for setup in ("loop", "rim"))

    def printed_for(*setups: str) -> str:
        shots = [frame.shot for frame in (loop, rim) if frame.setup.name in setups]
        RunNotes(tmp_path, goal_of(None, work_for="6h"), shots, [], is_printed=True).begin()
        return capsys.readouterr().err

    assert printed_for("loop") == ""  # there is none
    write_sheet(tmp_path, ContactSheet("Diver", "", [loop], [0.002]), {"fingerprint": shots_fingerprint([loop.shot])})
    assert printed_for("loop") == ""
    assert printed_for("loop", "rim").startswith(f"{tmp_path}: its sheet is of another model, arrangement or options")
