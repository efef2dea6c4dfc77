"""Cards: what they are of, and how a trifold unfolds."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.surface.boards import named_boards
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.card_model import CardModel
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError
from scenes.geometry import axes_facing, corners

CARD = {"size_cm": [30, 20], "at_cm": [10, 40, 12], "facing": [0.3, -1, 0]}
LEVEL = [(0, -1, 0), (1, 0, 0), (-1, 0, 0), (0.3, -1, 0)]


def card(**keys: Any) -> CardModel:
    return fill_model({"cards": [{**CARD, **keys}]}, Arrangement, "test").cards[0]


def refusal(**keys: Any) -> str:
    with pytest.raises(InputError) as caught:
        card(**keys)
    return str(caught.value).removeprefix("test: cards[1]")


def boards(open_deg: float, facing: Any = CARD["facing"], wing_cm: float = 12) -> tuple[CardModel, ...]:
    return card(facing=facing, trifold={"wing_cm": wing_cm, "open_deg": open_deg}).unfolded()


def rim(board: CardModel) -> Any:
    return corners(board.at_cm, board.facing, board.size_cm)


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
        ({"facing": [0, 0, 0]}, ".facing = [0, 0, 0]: a direction needs a number that is not 0"),
    ],
)
def test_what_makes_no_card_is_refused(keys: dict[str, Any], told: str) -> None:
    assert refusal(**keys) == told


@pytest.mark.parametrize("name", ["silver foil", "tracing paper"])
def test_what_shines_or_lets_light_through_is_no_backdrop(name: str) -> None:
    with pytest.raises(InputError, match=f"'{name}' is no backdrop: a backdrop is a matt board, paper or cloth"):
        fill_model({"backdrop": {"reflectance": name}}, Arrangement, "test")


def test_a_flat_card_is_one_board() -> None:
    assert card().unfolded() == (card(),)


@pytest.mark.parametrize("facing", LEVEL)
@given(open_deg=st.floats(45, 180), wing_cm=st.floats(1, 50))
def test_wings_hinge_on_the_edges_of_the_middle(facing: Any, open_deg: float, wing_cm: float) -> None:
    middle, *wings = boards(open_deg, facing, wing_cm)
    left, right = rim(middle)[[0, 3]], rim(middle)[[1, 2]]
    for wing, edge in zip(wings, (left, right), strict=True):
        apart = np.linalg.norm(rim(wing)[:, None] - edge, axis=-1)
        assert np.sort(apart.min(axis=0)) == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("facing", LEVEL)
@given(open_deg=st.floats(45, 179))
def test_wings_come_forward_and_look_inward(facing: Any, open_deg: float) -> None:
    middle, *wings = boards(open_deg, facing)
    width, _, normal = axes_facing(facing).T
    for wing, side in zip(wings, (-1, 1), strict=True):
        away = np.subtract(wing.at_cm, middle.at_cm)
        assert away @ normal > 0
        assert side * (away @ width) > 0
        # the middle of the middle board, and whatever stands before it, is on the wing's bright side
        assert np.dot(wing.facing, -away) > 0


@given(open_deg=st.floats(45, 180))
def test_between_wing_and_middle_is_the_angle_asked_for(open_deg: float) -> None:
    middle, *wings = boards(open_deg)
    width = axes_facing(middle.facing)[:, 0]
    for wing, side in zip(wings, (-1, 1), strict=True):
        hinge = np.asarray(middle.at_cm) + side * middle.size_cm[0] / 2 * width
        cosine = np.dot(np.subtract(wing.at_cm, hinge) / (wing.size_cm[0] / 2), -side * width)
        assert cosine == pytest.approx(np.cos(np.radians(open_deg)), abs=1e-9)


@pytest.mark.parametrize("facing", LEVEL)
def test_open_all_the_way_it_is_one_flat_board(facing: Any) -> None:
    middle, *wings = boards(180, facing)
    whole = middle.model_copy(update={"size_cm": (30 + 2 * 12, 20)})
    left, right = (rim(wing) for wing in wings)
    assert np.array([left[0], right[1], right[2], left[3]]) == pytest.approx(rim(whole), abs=1e-9)
    assert np.array([w.facing for w in wings]) == pytest.approx(np.tile(axes_facing(facing)[:, 2], (2, 1)), abs=1e-9)


def test_wings_are_of_the_same_board_and_unfold_no_further() -> None:
    folded = card(reflectance="silver foil", name="trio", trifold={"wing_cm": 12})
    _, *wings = folded.unfolded()
    assert [(w.name, w.reflectance, w.size_cm, w.unfolded()) for w in wings] == [
        ("trio wing", "silver foil", (12, 20), (w,)) for w in wings
    ]
