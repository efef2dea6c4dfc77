"""Errors in the input: the nearest spelling, and all mistakes at once."""

from __future__ import annotations

import pytest

from scenes.errors import InputError, each, nearest


@pytest.mark.parametrize(
    ("word", "choices", "found"),
    [
        ("left arm", ["right arm", "head"], "there are: head, right arm"),
        ("left arn", ["right arm", "left arm"], "did you mean 'left arm'?"),
        ("black fom board", ["white foam board", "black foam board"], "did you mean 'black foam board'?"),
        ("black fom board", ["white foam board", "grey foam board"], "there are: grey foam board, white foam board"),
        ("warm bulb", ["cool bulb"], "there are: cool bulb"),
        ("gren bulb", ["green bulb"], "did you mean 'green bulb'?"),
    ],
)  # fmt: skip
def test_what_is_proposed_has_no_opposite_of_a_word_that_was_written(word: str, choices: list[str], found: str) -> None:
    assert nearest(word, choices) == f" ({found})"


def test_all_that_are_wrong_of_several_things_are_said() -> None:
    def half(number: int) -> int:
        if number % 2:
            raise InputError(f"{number} is odd")
        return number // 2

    assert each(half, [2, 4]) == [1, 2]
    with pytest.raises(InputError) as caught:
        each(half, [1, 2, 3])
    assert caught.value.sentences == ("1 is odd", "3 is odd")
    assert str(caught.value) == "1 is odd\n3 is odd"
