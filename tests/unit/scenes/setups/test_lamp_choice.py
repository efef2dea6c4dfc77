"""Which of the lamps owned a setup takes, and what is lent."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.lamps.lamp import Lamp
from scenes.setups.lamp_choice import assignments, generic_lamps
from scenes.setups.setup import Setup, SetupLamp, load_setup, setup_names
from tests.support.arrangements import lamp, resolved


def owned(*lamps: dict[str, Any]) -> tuple[Lamp, ...]:
    return resolved(fill_model({"lamps": list(lamps)}, Arrangement, "test")).lamps


def wanted(*picks: str) -> tuple[SetupLamp, ...]:
    lamps = [{"role": f"role {i + 1}" if i else "key", "pick": pick} for i, pick in enumerate(picks)]
    return fill_model({"reads_as": "test", "lamps": lamps}, Setup, "test").lamps


LARGE = {"name": "large", "size_cm": [40, 30]}
MIDDLE = {"name": "middle", "size_cm": [20, 14]}
BULB = {"name": "bulb", "kind": "bulb", "diameter_cm": 6}


@pytest.mark.parametrize(
    ("lamps", "picks", "taken"),
    [
        ((LARGE, MIDDLE, BULB), ("next", "next"), ["large", "middle"]),
        ((MIDDLE, LARGE, BULB), ("next", "next"), ["middle", "large"]),
        ((LARGE, BULB, MIDDLE), ("smallest",), ["bulb"]),
        ((LARGE, BULB, MIDDLE), ("smallest", "smallest"), ["bulb", "middle"]),
        ((BULB, LARGE, MIDDLE), ("next", "smallest"), ["bulb", "middle"]),
        ((LARGE, MIDDLE, BULB), ("smallest", "next"), ["bulb", "large"]),
    ],
)
def test_lamps_are_taken_in_their_order_or_by_their_size_each_once(
    lamps: tuple[dict[str, Any], ...], picks: tuple[str, ...], taken: list[str]
) -> None:
    choices = next(assignments(wanted(*picks), owned(*lamps)))
    assert [choice.lamp.name for choice in choices] == taken
    assert [choice.shortfalls for choice in choices] == [()] * len(taken)
    assert tuple(choice.wanted for choice in choices) == wanted(*picks)


def test_what_is_not_owned_is_lent_and_said() -> None:
    own, lent, small = next(assignments(wanted("next", "next", "smallest"), owned(LARGE)))
    assert (own.lamp.name, own.shortfalls) == ("large", ())
    assert (lent.lamp, small.lamp) == (generic_lamps()[0], generic_lamps()[2])
    assert lent.shortfalls == ("needs 3 lamps, 1 owned: a generic panel of 4000 K is the role 2",)
    assert small.shortfalls == ("needs 3 lamps, 1 owned: a generic panel of 4000 K is the role 3",)


def test_a_lamp_lent_beside_one_of_its_name_gets_a_name_of_its_own() -> None:
    generic = generic_lamps()[0]
    own, lent = next(assignments(wanted("next", "next"), owned({"name": generic.name, "size_cm": [9, 9]})))
    assert (own.lamp.name, lent.lamp.name) == (generic.name, f"{generic.name} 2")
    assert lent.lamp.model == generic.model.model_copy(update={"name": lent.lamp.name})
    assert lent.lamp.stated == {**generic.stated, "name": lent.lamp.name}


@pytest.mark.parametrize(
    ("own", "source", "kelvin"),
    [
        ({"kelvin": 3200}, "bi-colour LED", 3200), ({"kelvin": 2700}, "LED", 2700),
        ({"kelvin": 6500}, "LED", 6500), ({"kelvin": 1200}, "LED", 1800),
        ({"spectrum": "LED-B3"}, "bi-colour LED", 4103),
    ],
)  # fmt: skip
def test_a_lent_lamp_has_the_white_of_the_first_owned(own: dict[str, Any], source: str, kelvin: float) -> None:
    _, lent = next(assignments(wanted("next", "next"), owned({**LARGE, **own})))
    assert lent.lamp.source.kind == source
    assert lent.lamp.cct == pytest.approx(kelvin, abs=2)
    assert lent.shortfalls == (f"needs 2 lamps, 1 owned: a generic panel of {lent.lamp.cct:.0f} K is the role 2",)
    assert lent.lamp.lumens == generic_lamps()[0].lumens


def test_beside_a_coloured_lamp_a_lent_one_keeps_its_white(tmp_path: Path) -> None:
    (tmp_path / "blue.csv").write_text("".join(f"{nm},{float(nm < 470)}\n" for nm in range(380, 781, 5)))
    blue = lamp(tmp_path, size_cm=[20, 14], spectrum="blue.csv")
    _, lent = next(assignments(wanted("next", "next"), [blue]))
    assert lent.lamp == generic_lamps()[0]


def test_without_lamps_of_ones_own_the_generic_ones_are_taken_without_a_word() -> None:
    choices = next(assignments(wanted("next", "next", "smallest", "smallest"), ()))
    assert {choice.lamp.name for choice in choices} == {lamp.name for lamp in generic_lamps()}
    assert [choice.shortfalls for choice in choices] == [()] * 4


def test_the_generic_kit_has_a_lamp_for_every_setup_that_comes_along() -> None:
    most = max(len(load_setup(name).lamps) for name in setup_names())
    assert len({lamp.name for lamp in generic_lamps()}) == len(generic_lamps()) >= most


@pytest.mark.parametrize("own", [(), (BULB,)])
def test_a_setup_that_wants_more_lamps_than_there_are_is_still_put_up(own: tuple[dict[str, Any], ...]) -> None:
    choices = next(assignments(wanted(*["next"] * 6), owned(*own)))
    assert len(choices) == 6
    assert len({choice.lamp.name for choice in choices}) == 6
    assert choices[-1].shortfalls == (f"needs 6 lamps, {len(own)} owned: a generic panel of 4000 K is the role 6",)


def test_a_bulb_is_no_lamp_that_shines_one_way_and_is_said_where_it_has_to_be_one() -> None:
    (rim,) = fill_model({"reads_as": "test", "lamps": [{"role": "rim", "directed": True}]}, Setup, "test").lamps
    sentences = ("wants a rim that shines one way: bulb lights the sheet too; put a black card between",)
    assert [choice.shortfalls for (choice,) in assignments([rim], owned(BULB, MIDDLE))] == [sentences, ()]
