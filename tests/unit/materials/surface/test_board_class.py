"""What a board does to light, by its finish."""

from __future__ import annotations

import pytest

from materials.colour.upsampling import reflectance_from_hex
from materials.surface.board_class import BoardClass, board_class
from materials.surface.boards import board_finish
from materials.surface.finish import Finish


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("white paper", "white"),
        ("foolscap", "white"),
        ("foam board", "white"),
        ("grey card", "grey"),
        ("grey poster board", "grey"),
        ("black poster board", "black"),
        ("black cloth", "black"),
        ("black velvet", "black"),
        ("silver foil", "foil"),
        ("tracing paper", "diffuser"),
    ],
)
def test_a_named_board_is_of_the_class_that_its_name_says(name: str, expected: BoardClass) -> None:
    assert board_class(board_finish(name)) == expected


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        ("#f5ecd7", "white"),  # cream paper
        ("#8c8c8c", "grey"),
        ("#101018", "black"),
        ("#c02020", "coloured"),
        ("#ffe000", "coloured"),
    ],
)
def test_a_card_of_a_colour_is_neutral_only_where_it_hardly_tints(colour: str, expected: BoardClass) -> None:
    assert board_class(Finish.board(reflectance_from_hex(colour))) == expected


@pytest.mark.parametrize(
    ("reflectance", "expected"), [(0.501, "white"), (0.499, "grey"), (0.101, "grey"), (0.099, "black")]
)
def test_white_starts_at_a_half_and_black_ends_at_a_tenth(reflectance: float, expected: BoardClass) -> None:
    assert board_class(Finish.board(reflectance)) == expected
