"""Cards: what they are of, and where they stand."""

from __future__ import annotations

from typing import Any

import pytest

from materials.surface.boards import named_boards
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.cards.card_model import CardModel
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError

CARD = {"size_cm": [30, 20], "at_cm": [10, 40, 12], "facing": [0.3, -1, 0]}


def card(**keys: Any) -> CardModel:
    return fill_model({"cards": [{**CARD, **keys}]}, Arrangement, "test").cards[0]


def refusal(**keys: Any) -> str:
    with pytest.raises(InputError) as caught:
        card(**keys)
    return str(caught.value).removeprefix("test: cards[1]")


@pytest.mark.parametrize("name", named_boards())
def test_a_card_is_of_any_board_paper_foil_or_diffuser(name: str) -> None:
    assert card(reflectance=name).finish == named_boards()[name].finish


@pytest.mark.parametrize(("name", "kind"), [("silver foil", "metal"), ("tracing paper", "diffuser"), (0.5, "matt")])
def test_foil_shines_and_tracing_paper_lets_light_through(name: str | float, kind: str) -> None:
    assert card(reflectance=name).finish.kind == kind


def test_a_card_of_nothing_said_is_white() -> None:
    assert card().finish == card(reflectance=0.85).finish


def test_a_grey_colour_is_the_reflectance_that_srgb_gives_it() -> None:
    """IEC 61966-2-1: (140 / 255 + .055) / 1.055 to the power 2.4 is .2623."""
    assert card(colour="#8c8c8c").finish.base == pytest.approx(0.2623, abs=2e-3)


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"colour": "#ff0000", "reflectance": 0.5}, ": give reflectance or colour, not both"),
        ({"colour": "red"}, '.colour = "red": should be a colour as "#8c8c8c"'),
        ({"reflectance": 1.2}, ".reflectance = 1.2: a reflectance lies between 0 and 1"),
        ({"reflectance": -0.1}, ".reflectance = -0.1: a reflectance lies between 0 and 1"),
        (
            {"reflectance": True},
            ".reflectance = true: a reflectance is a number from 0 to 1 or the name of a board or paper",
        ),
        (
            {"reflectance": "sliver foil"},
            ".reflectance: no board or paper is called 'sliver foil' (did you mean 'silver foil'?)",
        ),
        ({"trifold": {"wing_cm": 10, "open_deg": 40}}, ".trifold.open_deg = 40: should be 45 or more"),
        ({"trifold": {"wing_cm": 10, "open_deg": 181}}, ".trifold.open_deg = 181: should be 180 or less"),
        (
            {"trifold": {"wing_cm": 10}, "facing": [0, -1, 0.2]},
            ": a trifold stands upright: facing should be level, as [0, -1, 0]",
        ),
        (
            {"facing": None},
            ": a card in every setup takes both at_cm and facing; one that setups place takes neither",
        ),
        (
            {"at_cm": None},
            ": a card in every setup takes both at_cm and facing; one that setups place takes neither",
        ),
        ({"facing": [0, 0, 0]}, ".facing = [0, 0, 0]: a direction needs a number that is not 0"),
    ],
)
def test_what_makes_no_card_is_refused(keys: dict[str, Any], told: str) -> None:
    assert refusal(**keys) == told


@pytest.mark.parametrize("name", ["silver foil", "tracing paper"])
def test_what_shines_or_lets_light_through_is_no_backdrop(name: str) -> None:
    with pytest.raises(InputError, match=f"'{name}' is no backdrop: a backdrop is a matt board, paper or cloth"):
        fill_model({"backdrop": {"reflectance": name}}, Arrangement, "test")
