"""Lights of different colour temperature in one setup: said where it shows, with what mends it."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.checks.mixed_light import Mismatch, mismatches, mixed_light_facts, mixed_light_lines, mixed_light_summary
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import AS_PLACED
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import place
from tests.unit.scenes.setups.test_setup import FIGURE

KEY = {"name": "bulb", "size_cm": [6, 4], "at_cm": [-30, -30, 30], "aim_cm": [0, 0, 12], "kelvin": 2700}
FILL = {"name": "desk", "size_cm": [6, 4], "at_cm": [40, -30, 20], "aim_cm": [0, 0, 12], "kelvin": 5500}


def found(*changes: dict[str, Any], room: Any = None, setup: str = AS_PLACED) -> list[Mismatch]:
    """Return the mismatches of lamps fixed by hand, those above with changed keys."""
    lamps = [{**lamp, **change} for lamp, change in zip((KEY, FILL), changes, strict=False)]
    declared = fill_model({"subject": {"mesh": "x"}, "lamps": lamps, "room": room or {}}, Arrangement, "test")
    return mismatches(place(setup, declared, subject_from_parts("figure", FIGURE)), declared.room)


def actions(*changes: dict[str, Any], room: Any = None) -> list[tuple[str, float, float]]:
    (one,) = found(*changes, room=room)
    return [(r.action, round(r.mired_left), round(r.loss_stops, 2)) for r in one.remedies]


def test_a_fill_that_is_bluer_than_the_key_is_said_with_the_side_that_shows_it() -> None:
    (one,) = found({}, {})
    assert one.mired == pytest.approx(1e6 / 5500 - 1e6 / 2700, abs=1)
    assert one.difference_words.endswith(
        "(desk, 5500 K) is 189 mired bluer than the key (bulb, 2700 K) and turns the right side blue beside what "
        "the key lights"
    )


@pytest.mark.parametrize(
    ("at_cm", "part"),
    [
        ([-40, -30, 20], "the left side"), ([0, -60, 30], "the front"), ([5, 0, 60], "what faces up"),
        ([30, 30, 20], "the right edges and what it lights of the sheet"), ([30, -30, 2], "the undersides"),
    ],
)  # fmt: skip
def test_the_part_that_a_lamp_lights_follows_from_where_it_stands(at_cm: list[float], part: str) -> None:
    (one,) = found({}, {"at_cm": at_cm})
    assert f" and turns {part} blue beside" in one.difference_words


@pytest.mark.parametrize(("kelvin", "seen"), [(2700, False), (2840, False), (2860, True), (2570, False), (2550, True)])
def test_lamps_are_said_to_differ_from_20_mired_on(kelvin: float, seen: bool) -> None:
    assert bool(found({}, {"kelvin": kelvin})) is seen


def test_a_lamp_that_is_off_or_too_faint_shows_nothing() -> None:
    assert found({}, {"dimmer": 0}) == []
    assert found({"lumens": 5000}, {"lumens": 5}) == []
    assert len(found({"lumens": 1000}, {"lumens": 1000, "dimmer": 0.2})) == 1


def test_room_light_is_said_where_it_is_not_far_under_the_key() -> None:
    (one,) = found({"kelvin": 5600}, room={"lux": 200})
    assert one.difference_words.startswith(
        "the room's light (3000 K) is 155 mired warmer than the key (bulb, 5600 K) and turns the shadows"
    )
    assert one.remedies[0].words == "switch the room's light off: none left"
    assert found({"kelvin": 5600, "lumens": 10000}, room={"lux": 40}) == []


def test_the_setting_of_a_bicolour_lamp_comes_first_as_it_costs_nothing() -> None:
    panel = {"kelvin_range": (2700, 6500)}
    assert actions({}, panel)[0] == ("set desk to 2700 K", 0, 0)
    assert actions(panel, {})[0] == ("set bulb to 5500 K", 0, 0)


def test_what_a_setting_leaves_is_mended_by_a_gel() -> None:
    assert ("set desk to 3200 K with a half CTO gel (+66 mired) on it", 8, 0.33) in actions(
        {}, {"kelvin_range": (3200, 6500)}
    )


def test_a_gel_is_named_with_its_shift_and_the_one_that_takes_less_light_comes_first() -> None:
    assert actions({"kelvin": 3200}, {}) == [
        ("a full CTO gel (+131 mired) on desk", 0, 0.67),
        ("a full CTB gel (-131 mired) on bulb", 0, 2),
    ]


def test_a_mismatch_is_a_sentence_with_what_mends_it() -> None:
    (line,) = mixed_light_lines(found({"kelvin": 3200}, {}))
    assert line.startswith("as-placed: the ")
    assert line.endswith(
        "; best: a full CTO gel (+131 mired) on desk: none left, 0.7 stops of its light lost; or a full CTB gel (-131 "
        "mired) on bulb: none left, 2.0 stops of its light lost; or do without desk"
    )


def test_setups_with_the_same_two_lamps_share_a_sentence() -> None:
    by_hand = found({"kelvin": 3200}, {})
    other = [Mismatch("mine", one.other, one.main) for one in by_hand]
    (line,) = mixed_light_summary([*by_hand, *other])
    assert line.startswith(
        "bulb (3200 K) and desk (5500 K) are 131 mired apart, and 20 show: in as-placed, mine each colours its own part"
    )


def test_mismatches_are_plain_data() -> None:
    (facts,) = mixed_light_facts(found({"kelvin": 3200}, {}))
    assert (facts["name"], facts["beside"], facts["mired"], facts["part"]) == ("desk", "bulb", -130.7, "the right side")
    assert facts["remedies"][0] == {
        "action": "a full CTO gel (+131 mired) on desk", "mired_left": 0.3, "loss_stops": 0.67
    }  # fmt: skip
