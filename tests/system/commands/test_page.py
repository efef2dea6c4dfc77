"""A page is made of a finished sheet, of what is stored."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.command import run

SMALL = ("--size", "48x64")


@pytest.mark.slow
def test_a_page_has_every_frame_of_its_sheet_and_traces_nothing(tmp_path: Path) -> None:
    assert run(tmp_path, "sheet", "--setup", "loop", "--finish", "matt", "--finish", "gloss", *SMALL).returncode == 0
    ran = run(tmp_path, "page", "sheet")
    assert (ran.returncode, ran.stdout) == (0, f"{Path('sheet', 'page.html')}\n")
    assert "traced nothing" in ran.stderr
    assert ran.stderr.endswith(" MB in one file\n")
    html = (tmp_path / "sheet" / "page.html").read_text(encoding="utf-8")
    assert html.count("<article") == 2
    assert run(tmp_path, "page", "sheet", "--out", "mine.html").stdout == "mine.html\n"
    assert (tmp_path / "mine.html").read_text(encoding="utf-8") == html


def test_a_page_of_another_ending_is_refused(tmp_path: Path) -> None:
    ran = run(tmp_path, "page", ".", "--out", "mine.txt")
    assert ran.returncode == 2
    assert "--out mine.txt: a page is written as .html" in ran.stderr


def test_a_folder_without_a_finished_sheet_is_refused(tmp_path: Path) -> None:
    ran = run(tmp_path, "page", ".")
    assert ran.returncode == 2
    assert "no finished sheet is in it" in ran.stderr
    assert list(tmp_path.iterdir()) == []
