"""Paper sizes by name."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.cards.paper_sizes import paper_sizes
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError

A_SERIES = [paper_sizes()[f"A{n}"] for n in range(6)]


def sheet(value: Any) -> Any:
    return fill_model({"backdrop": {"sheet_cm": value}}, Arrangement, "test").backdrop.sheet_cm


def test_an_a0_sheet_is_a_square_metre_in_the_ratio_of_root_two_to_the_millimetre() -> None:
    """ISO 216: A0 has 1 m2 and sides as 1 to root 2, rounded to whole millimetres."""
    short = 100 / 2**0.25
    assert A_SERIES[0] == (round(short, 1), round(short * math.sqrt(2), 1))


@pytest.mark.parametrize(("larger", "smaller"), list(pairwise(A_SERIES)))
def test_each_a_size_is_the_one_before_it_halved_and_rounded_down_to_a_millimetre(
    larger: tuple[float, float], smaller: tuple[float, float]
) -> None:
    assert smaller == (math.floor(larger[1] * 10 / 2) / 10, larger[0])


@pytest.mark.parametrize(("name", "inches"), [("letter", (8.5, 11)), ("legal", (8.5, 14)), ("tabloid", (11, 17))])
def test_american_sizes_are_whole_and_half_inches(name: str, inches: tuple[float, float]) -> None:
    assert [cm / 2.54 for cm in paper_sizes()[name]] == pytest.approx(inches, abs=1e-9)


@pytest.mark.parametrize("name", paper_sizes())
def test_a_size_goes_by_its_name_in_any_case(name: str) -> None:
    assert sheet(name) == sheet(name.upper()) == sheet(name.lower()) == sheet(list(paper_sizes()[name]))


@pytest.mark.parametrize(
    ("value", "refusal"),
    [
        (
            "A9",
            ": no paper size is called 'A9' (there are: A0, A1, A2, A3, A4, A5, legal, letter, tabloid); "
            "or [width, height] in cm",
        ),
        ("leter", ": no paper size is called 'leter' (did you mean 'letter'?); or [width, height] in cm"),
        ([30], " = [30]: should have 2 numbers, not 1"),
        (30, " = 30: should be a list in square brackets"),
    ],
)
def test_what_is_no_size_is_refused(value: Any, refusal: str) -> None:
    with pytest.raises(InputError) as caught:
        sheet(value)
    assert str(caught.value) == f"test: backdrop.sheet_cm{refusal}"


def test_the_schema_takes_numbers_or_a_name() -> None:
    size = Arrangement.model_json_schema()["$defs"]["CardModel"]["properties"]["size_cm"]
    assert [kind["type"] for kind in size["anyOf"]] == ["array", "string"]
