"""Grain is typed and told in percent."""

from __future__ import annotations

import pytest

from gallery.budget.grain import grain_words, read_grain
from scenes.errors import InputError


@pytest.mark.parametrize(
    ("typed", "share"), [("1%", 0.01), ("1", 0.01), ("0.5 %", 0.005), (".5%", 0.005), ("20%", 0.2), (" 2 % ", 0.02)]
)
def test_a_grain_is_in_percent(typed: str, share: float) -> None:
    assert read_grain(typed) == pytest.approx(share)


@pytest.mark.parametrize("typed", ["", "0", "0.04%", "21%", "-1", "1e-2", "nan", "one", "1%%", "1,5", "٣%"])
def test_a_grain_that_is_none_is_wrong_input(typed: str) -> None:
    with pytest.raises(InputError, match=r"--grain .*: give the grain that may be left, 0\.05% to 20%, as 1% or 0\.5%"):
        read_grain(typed)


@pytest.mark.parametrize(("grain", "words"), [(0.01, "1 %"), (0.018, "1.8 %"), (0.00527, "0.53 %"), (0.114, "11 %")])
def test_a_grain_is_told_in_percent(grain: float, words: str) -> None:
    assert grain_words(grain) == words
