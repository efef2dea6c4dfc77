"""A lamp's place: where its centre is, what it aims at, how far the hero is, how it is mounted and dimmed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.placement_words.lamp import lamp_facts
from tests.unit.scenes.setups.test_placed import BULB, PANEL, placed_by_hand

LEFT = {**PANEL, "at_cm": [-24, -32, 55], "aim_cm": [0, 0, 15]}
"""A panel at 40 cm along the table and 40 cm above its aim: 56.6 cm away, 45 degrees up."""
HERO = (0.0, 0.0, 15.0)


def setup(hero: tuple[float, float, float] = HERO, **keys: Any) -> PlacedSetup:
    return replace(placed_by_hand({**LEFT, **keys}), hero_cm=hero)


def words(placed: PlacedSetup, **changed: Any) -> str:
    (lamp,) = placed.lamps
    expected: str = lamp_facts(replace(lamp, **changed), placed)["words"]
    return expected


def test_a_lamp_is_told_from_its_centre_to_its_dimmer() -> None:
    assert words(setup()) == (
        "key: 24 cm left and 32 cm in front of the centre mark, lamp centre 55 cm up, tilted down 45 degrees; "
        "aimed at the hero, 57 cm away along a string; longer side level; panel at 100 %"
    )


def test_the_facts_of_a_lamp_are_numbers_in_cm_and_degrees() -> None:
    placed = setup(dimmer=0.25)
    facts = lamp_facts(placed.lamps[0], placed)
    del facts["words"]
    assert facts == {
        "role": "key", "name": "panel", "at_cm": [-24, -32, 55], "aim_cm": [0, 0, 15], "string_cm": 56.6,
        "tilt_deg": -45, "long_side": "level", "hangs": False, "dimmer": 0.25,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("hero", "aim", "expected"),
    [
        (HERO, (0.3, 0, 15.3), "aimed at the hero, "),
        (HERO, (0, 0, 0), "aimed at the centre mark, the hero "),
        (HERO, (0, 0, 8.3), "aimed at the model's middle, 8.5 cm up, the hero "),
        (HERO, (4, 20, 10), "aimed at a point 4 cm right and 20 cm behind the centre mark, 10 cm up, the hero "),
        (HERO, (4, 0, 0), "aimed at a point 4 cm right of the centre mark, on the table, the hero "),
    ],
)
def test_an_aim_beside_the_hero_is_told_by_itself(hero: Any, aim: Any, expected: str) -> None:
    placed = setup(hero, aim_cm=list(aim))
    assert words(placed).split("; ")[1] == f"{expected}57 cm away along a string"


def test_over_an_empty_table_a_lamp_aims_at_the_centre_mark() -> None:
    placed = replace(setup(aim_cm=[0, 0, 0]), subject=None, hero_cm=(0.0, 0.0, 0.0))
    assert words(placed).split("; ")[1] == "aimed at the centre mark, 68 cm away along a string"


def test_a_bulb_shines_all_round_and_has_neither_tilt_nor_aim() -> None:
    placed = replace(placed_by_hand({**BULB, "at_cm": [20, 0, 30]}), hero_cm=HERO)
    assert words(placed) == (
        "key: 20 cm right of the centre mark, lamp centre 30 cm up; the hero 25 cm away along a string; bulb at 100 %"
    )
    assert lamp_facts(placed.lamps[0], placed)["tilt_deg"] is None


@pytest.mark.parametrize(
    ("keys", "side"),
    [
        ({}, "level"),
        ({"size_cm": [14, 20]}, "upright"),
        ({"size_cm": [14, 14]}, None),
        ({"snoot": {"length_cm": 8, "diameter_cm": 5}}, None),
        ({"at_cm": [0, -5, 60]}, "left to right"),
        ({"at_cm": [0, -5, 60], "size_cm": [14, 20]}, "front to back"),
        ({"at_cm": [5, 0, 60]}, "front to back"),
    ],
)
def test_a_panel_says_how_its_longer_side_runs(keys: dict[str, Any], side: str | None) -> None:
    placed = setup(**keys)
    assert lamp_facts(placed.lamps[0], placed)["long_side"] == side
    assert (f"; longer side {side}; " in words(placed)) is (side is not None)


def test_a_panel_that_its_setup_stands_upright_says_so() -> None:
    placed = setup()
    (lamp,) = placed.lamps
    stands = replace(lamp, place=replace(lamp.place, upright=True))
    assert lamp_facts(stands, placed)["long_side"] == "upright"


def test_a_disc_has_no_longer_side() -> None:
    disc = {"name": "disc", "kind": "disc", "diameter_cm": 9, "at_cm": [0, -40, 20], "aim_cm": [0, 0, 20]}
    assert "longer side" not in words(placed_by_hand(disc))


def test_a_lamp_whose_stand_would_be_seen_hangs_from_an_arm() -> None:
    placed = setup()
    assert words(placed, hangs=True).split("; ")[2:] == [
        "longer side level", "hang it from an arm", "panel at 100 %",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"dimmer": 0.254}, "panel at 25 %"),
        ({"dimmer": 0.0}, "panel off"),
        ({"stops_under_key": 2.0}, "panel dimmed to 2 stops under the key"),
        ({"stops_under_key": 1.0}, "panel dimmed to 1 stop under the key"),
        ({"stops_under_key": 0.0}, "panel dimmed to match the key"),
        ({"sheet_over_white": 1.1}, "panel dimmed until the sheet is 1.1 times as bright as white"),
    ],
)
def test_a_dimmer_is_a_percentage_or_what_it_is_solved_for(changed: dict[str, float], expected: str) -> None:
    assert words(setup(), **changed).split("; ")[-1] == expected


def test_without_a_key_a_ratio_counts_from_the_first_lamp() -> None:
    rim, fill = placed_by_hand(LEFT, {**PANEL, "name": "other", "at_cm": [40, -30, 40]}).lamps
    fill = replace(fill, role="fill", stops_under_key=2.0)
    placed = replace(setup(), lamps=(replace(rim, role="rim"), fill))
    assert lamp_facts(fill, placed)["words"].endswith("; other dimmed to 2 stops under the rim")


def test_a_dimmer_still_to_be_solved_is_no_number() -> None:
    placed = setup()
    lamp: PlacedLamp = replace(placed.lamps[0], stops_under_key=2.0)
    assert lamp_facts(lamp, placed)["dimmer"] is None


def test_a_lamp_beside_one_that_lights_the_sheet_may_be_dimmed_with_it() -> None:
    key, backdrop = placed_by_hand(LEFT, {**PANEL, "name": "other", "at_cm": [40, -30, 40]}).lamps
    placed = replace(setup(), lamps=(key, replace(backdrop, sheet_over_white=1.1)))
    assert lamp_facts(key, placed)["words"].endswith("; panel at 100 % or less")
    assert lamp_facts(key, placed)["dimmer"] is None


@pytest.mark.parametrize("wanted", [{"stops_under_key": 2.0}, {"sheet_over_white": 1.1}])
def test_a_lamp_that_does_not_dim_has_nothing_to_solve(wanted: dict[str, Any]) -> None:
    placed = setup(dimmable=False)
    facts = lamp_facts(replace(placed.lamps[0], **wanted), placed)
    assert (facts["words"].split("; ")[-1], facts["dimmer"]) == ("panel at 100 %", 1)
