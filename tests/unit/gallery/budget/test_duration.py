"""Durations are read as people type them, and told in words of the right length."""

from __future__ import annotations

import pytest

from gallery.budget.duration import duration_words, read_duration


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [
        ("30m", 1800), ("6h", 21600), ("1h30m", 5400), ("1 h 30 min", 5400), ("90s", 90), ("1.5h", 5400),
        ("2d", 172800), ("1d2h3m4s", 93784), ("45min", 2700), ("6H", 21600), ("8w", 4838400),
    ],
)  # fmt: skip
def test_a_duration_is_its_seconds(typed: str, seconds: float) -> None:
    assert read_duration(typed) == seconds


@pytest.mark.parametrize("typed", ["", " ", "30", "-30m", "h", "30m1h", "1e3s", "٣h", "6 hours!", "9" * 40 + "h"])
def test_other_text_is_none(typed: str) -> None:
    assert read_duration(typed) is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (-5, "0 s"), (0.4, "0 s"), (42, "42 s"), (99.4, "99 s"), (100, "2 min"), (3540, "59 min"), (3599, "1 h"),
        (6600, "1 h 50 min"), (86399, "1 d"), (100000, "1 d 4 h"), (172800, "2 d"),
    ],
)  # fmt: skip
def test_words_are_rounded_to_what_one_asks_for(seconds: float, words: str) -> None:
    assert duration_words(seconds) == words


@pytest.mark.parametrize("seconds", [1, 59, 120, 3600, 5400, 86400, 97200])
def test_words_are_read_as_the_duration_that_they_tell(seconds: float) -> None:
    assert read_duration(duration_words(seconds)) == seconds
