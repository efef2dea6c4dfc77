"""How far work is, on stderr: a line now and then, on a terminal a bar; both with the time left."""

from __future__ import annotations

import re
import time

import pytest

from gallery.budget.display import Status, shown

ROUND = Status("round 7", 0.387, 6600.0, note="grain up to 1.8 % (rim)")


@pytest.mark.parametrize(
    ("status", "line"),
    [
        (ROUND, "round 7, 38 %; 1 h 50 min left; grain up to 1.8 % (rim)"),
        (Status("draft", 0.0, 150.0, is_rough=True), "draft, 0 %; about 2 min left"),
        (Status("frames", 1.0, 0.0), "frames, 100 %; 0 s left"),
    ],
)
def test_a_status_is_a_line(status: Status, line: str) -> None:
    assert status.line == line


def test_without_a_terminal_a_line_is_printed_now_and_then_with_the_time_of_day(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told: list[str] = []
    with shown(lambda: ROUND, every_s=0.01):
        while len(told) < 3:
            time.sleep(0.01)
            told += capsys.readouterr().err.splitlines()
    assert all(re.fullmatch(rf"\d\d:\d\d {re.escape(ROUND.line)}", line) for line in told)
    time.sleep(0.05)
    capsys.readouterr()
    time.sleep(0.05)
    assert capsys.readouterr().err == ""


def test_nothing_is_printed_of_what_takes_less_than_a_minute(capsys: pytest.CaptureFixture[str]) -> None:
    with shown(lambda: ROUND):
        time.sleep(0.02)
    assert capsys.readouterr().err == ""


def test_a_terminal_shows_a_bar_and_leaves_nothing_of_it(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "120")
    with shown(lambda: ROUND):
        time.sleep(0.3)
    printed = capsys.readouterr().err
    words = re.sub(r"\x1b\[[0-9;?]*\w", "", printed)
    assert re.search(r"round 7 .* 38 % 1 h 50 min left grain up to 1\.8 % \(rim\)", words)
    assert printed.endswith("\x1b[2K")  # the line is cleared


def test_a_narrow_terminal_shows_the_grain_and_cuts_the_name_of_its_frame(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "80")
    with shown(lambda: ROUND._replace(seconds_left=41000.0, note="grain up to 0.38 % (butterfly-card, semi-gloss)")):
        time.sleep(0.3)
    words = re.sub(r"\x1b\[[0-9;?]*\w", "", capsys.readouterr().err)
    assert re.search(r" 38 % 11 h 23 min left grain up to 0\.38 % ", words)


def test_names_of_files_stay_text_on_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    with shown(lambda: Status("[bold]x\x1b[2J", 0.5, 1.0)):
        time.sleep(0.2)
    printed = capsys.readouterr().err
    assert "[bold]x" in printed
    assert "\x1b[2J" not in printed
