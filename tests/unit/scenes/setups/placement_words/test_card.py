"""A card's place: its centre, how it leans and what it faces, where its lower edge is, what it is."""

from __future__ import annotations

from typing import Any

import pytest

from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.setups.placement_words.card import card_facts


def card(at: tuple[float, float, float], facing: tuple[float, float, float], **keys: Any) -> PlacedCard:
    declared = {"name": "bounce", "size_cm": (30, 20), "reflectance": "white paper", "at_cm": at, "facing": facing}
    return PlacedCard.model_validate(declared | keys)


def test_a_card_is_told_from_its_centre_to_its_size() -> None:
    leaning = card((0, -30, 8), (0, 0.8, 0.6))  # its lower edge 8 cm below and 6 cm behind its centre
    facts = card_facts(leaning, "the model")
    assert facts.pop("words") == (
        "bounce: 30 cm in front of the centre mark, card centre 8 cm up, leaning back 37 degrees, facing the model, "
        "lower edge on the table 24 cm in front of the centre mark; white paper, 30 cm wide, 20 cm high"
    )
    assert facts == {
        "name": "bounce", "board": "white paper", "size_cm": [30, 20], "at_cm": [0, -30, 8], "lean_deg": 36.9,
        "lower_edge_cm": [0, -24, 0],
    }  # fmt: skip


FACES = {
    "upright to the model": ((20, 0, 12), (-1, 0, 0), "upright, facing the model, lower edge 2 cm up"),
    "forward": ((20, 0, 30), (-0.8, 0, -0.6), "leaning forward 37 degrees, facing the model, lower edge 22 cm up"),
    "to the camera": ((20, 10, 12), (0, -1, 0), "upright, facing the camera, lower edge 2 cm up"),
    "to the wall": ((20, -10, 12), (0, 1, 0), "upright, facing the wall, lower edge 2 cm up"),
    "to the right": ((0, 30, 12), (1, 0, 0), "upright, facing camera right, lower edge 2 cm up"),
    "aslant": ((20, 0, 12), (1, -1, 0), "upright, facing 45 degrees from the camera to the right, lower edge 2 cm up"),
    "aslant and away": (
        (20, 0, 12), (-1, 1.5, 0), "upright, facing 146 degrees from the camera to the left, lower edge 2 cm up",
    ),
    "over the mark": ((0, 0, 12), (0, -1, 0), "upright, facing the camera, lower edge 2 cm up"),
}  # fmt: skip


@pytest.mark.parametrize("name", FACES)
def test_a_card_that_stands_says_what_it_faces(name: str) -> None:
    at, facing, expected = FACES[name]
    words = card_facts(card(at, facing), "the model")["words"]
    assert f"{at[2]} cm up, {expected}; white paper" in words


@pytest.mark.parametrize(
    ("z", "up", "expected"),
    [
        (0.5, 1, "0.5 cm up, flat on the table"),
        (30, 1, "30 cm up, level, facing up"),
        (30, -1, "30 cm up, level, facing down"),
    ],
)
def test_a_card_that_lies_has_no_lower_edge(z: float, up: int, expected: str) -> None:
    words = card_facts(card((0, -30, z), (0, 0, up)), "the model")["words"]
    assert words.endswith(f"card centre {expected}; white paper, 30 cm wide, 20 cm deep")


def test_a_card_that_leans_far_says_its_angle_with_the_table_too() -> None:
    words = card_facts(card((0, -30, 12), (0, 0.17, 0.985)), "the model")["words"]
    assert "leaning back 80 degrees, 10 degrees from level" in words


def test_a_lower_edge_near_the_table_says_how_high_it_is_and_where() -> None:
    words = card_facts(card((0, -30, 10.6), (0, 1, 0)), "the model")["words"]
    assert "lower edge 0.5 cm up, 30 cm in front of the centre mark" in words


def test_a_card_of_no_paper_size_has_whole_centimetres() -> None:
    words = card_facts(card((0, -30, 30), (0, 1, 0), size_cm=(60.4, 42.8)), "the model")["words"]
    assert words.endswith("; white paper, 60 cm wide, 43 cm high")


def test_without_a_model_a_card_faces_the_centre_mark() -> None:
    assert ", facing the centre mark, " in card_facts(card((20, 0, 12), (-1, 0, 0)), "the centre mark")["words"]


def test_a_card_without_a_name_of_its_board_is_told_by_its_reflectance() -> None:
    assert "; 60 % white board, " in card_facts(card((20, 0, 12), (-1, 0, 0), reflectance=0.6), "the model")["words"]


@pytest.mark.parametrize(
    ("size_cm", "expected"),
    [
        ((21, 29.7), "A4 white paper, 21 cm wide, 29.7 cm high"),
        ((42, 29.7), "A3 white paper, 42 cm wide, 29.7 cm high"),
        ((21, 29), "white paper, 21 cm wide, 29 cm high"),
    ],
)
def test_a_card_of_a_paper_size_is_called_by_it(size_cm: tuple[float, float], expected: str) -> None:
    words = card_facts(card((20, 0, 15), (-1, 0, 0), size_cm=size_cm), "the model")["words"]
    assert words.endswith(f"; {expected}")
