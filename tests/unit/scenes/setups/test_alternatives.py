"""A setup and its alternatives: the first without a lack, who takes which role, and what is said where one lacks."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.errors import InputError
from scenes.setups.place_setup import place_loaded_setup
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import Setup
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import resolved

from .test_setup import FIGURE

SIDES = [{"role": "rim", "round_deg": -140, "distance": 3}, {"role": "second rim", "round_deg": 140, "distance": 3}]
ABOVE = {"role": "rim", "round_deg": 180, "rise_deg": 60, "distance": 2.5}
SMALL, LARGE = {"name": "small", "size_cm": [5, 3]}, {"name": "large", "size_cm": [60, 50]}
BULB = {"name": "bulb", "kind": "bulb", "diameter_cm": 12}


def placed(lamps: Any, owned: Any = (), alternatives: Any = (), **keys: Any) -> PlacedSetup:
    """Return a setup of lamps round a figure."""
    made = fill_model({"reads_as": "test", "lamps": lamps, "alternatives": alternatives}, Setup, "test")
    declared = fill_model({"subject": {"mesh": "x", "hero": "head"}, "lamps": owned, **keys}, Arrangement, "test")
    return place_loaded_setup(made, "mine", resolved(declared, subject_from_parts("figure", FIGURE)))


def roles(setup: PlacedSetup) -> list[str]:
    return [lamp.role for lamp in setup.lamps]


def test_what_needs_more_lamps_than_are_owned_gives_way_to_an_alternative_that_does_not() -> None:
    alternatives = [{"lamps": [ABOVE]}]
    two, one = (placed(SIDES, owned, alternatives) for owned in ([SMALL, {**SMALL, "name": "b"}], [SMALL]))
    assert (roles(two), two.shortfalls) == (["rim", "second rim"], ())
    assert (roles(one), one.shortfalls) == (["rim"], ())
    assert one.lamps[0].place.at_cm[2] > 30


def test_where_every_alternative_lacks_something_the_first_with_the_fewest_lacks_is_taken() -> None:
    three = {"lamps": [*SIDES, {"role": "top", "rise_deg": 80, "distance": 2}]}
    assert roles(placed(SIDES, [SMALL], [three, {"lamps": SIDES[::-1]}])) == ["rim", "second rim"]


def test_an_alternative_may_have_cards_and_a_backdrop_of_its_own() -> None:
    card = {"role": "flag", "size": [1, 1], "reflectance": 0.05, "round_deg": 90, "distance": 2}
    other = {"lamps": [ABOVE], "cards": [card], "backdrop": {"reflectance": ["black cloth", "black poster board"]}}
    got = placed(SIDES, [SMALL], [other])
    assert [card.name for card in got.cards] == ["flag"]
    assert got.backdrop_board == "black cloth"


def test_a_mirrored_setup_has_its_alternatives_mirrored() -> None:
    setup = fill_model({"reads_as": "test", "lamps": SIDES, "alternatives": [{"lamps": SIDES[:1]}]}, Setup, "test")
    (other,) = setup.mirrored().alternatives
    assert [lamp.round_deg for lamp in other.lamps] == [140]
    assert setup.mirrored().mirrored() == setup


def test_a_lamp_that_does_not_fit_in_a_role_changes_it_with_one_that_does() -> None:
    """Behind a figure in a room of 35 cm a panel of 60 cm finds no place, before it one does."""
    lamps = [{"role": "key", "round_deg": 150, "rise_deg": 20, "distance": 1.5}, {"role": "fill", "distance": 3.5}]
    room = {"clear_cm": {"right": 35, "behind": 20}}
    got = placed(lamps, [LARGE, SMALL], room=room, backdrop={"kind": "none"})
    assert [(lamp.role, lamp.name) for lamp in got.lamps] == [("key", "small"), ("fill", "large")]
    assert got.shortfalls == ()


LOW = {
    "role": "fill",
    "from_camera": True,
    "rise_deg": 5,
    "distance": 1.6,
    "aim": "base",
    "tilt_deg": 30,
    "within_deg": 10,
}


def test_a_lamp_too_large_to_lie_below_the_frame_is_said_in_one_line_with_what_would_do() -> None:
    got = placed([LOW], [BULB])
    (lack,) = got.shortfalls
    assert lack.startswith("wants a lamp below the frame: the 12 cm bulb does not fit there (it would reach into ")
    assert lack.endswith("; lay a white card there or take a smaller lamp")
    assert "\n" not in lack


def test_a_setup_says_how_far_off_its_place_a_lamp_may_be() -> None:
    near, far = ({**LOW, "within_deg": within} for within in (1, 120))
    assert len(placed([near], [BULB]).shortfalls) == 1
    assert placed([far], [BULB]).shortfalls == ()


def test_a_lamp_that_fits_nowhere_is_left_out_and_said() -> None:
    room = {"clear_cm": {"left": 30, "right": 30, "behind": 30, "front": 30, "above": 40}}
    got = placed([{"role": "key", "rise_deg": 60, "distance": 1.5}, {**ABOVE, "role": "fill"}], [SMALL, {
        "name": "huge", "size_cm": [90, 90]}], room=room)  # fmt: skip
    assert [lamp.name for lamp in got.lamps] == ["small"]
    assert any("90 x 90 cm panel fits nowhere" in lack for lack in got.shortfalls)


def test_where_the_only_lamp_fits_nowhere_a_generic_smaller_one_stands_in_for_it() -> None:
    room = {"clear_cm": {"left": 30, "right": 30, "behind": 30, "front": 30, "above": 40}}
    got = placed([ABOVE], [{"name": "huge", "size_cm": [90, 90]}], room=room)
    assert [lamp.name for lamp in got.lamps] == ["small light A"]
    assert got.shortfalls[0].startswith(
        "wants a lamp behind and above: the 90 x 90 cm panel fits nowhere (there it would "
    )
    assert got.shortfalls[1:] == ("has no room for the lamps owned: a generic panel is the rim",)


@pytest.mark.slow
def test_the_distance_that_a_label_asks_for_is_named_where_the_room_is_too_small_for_it() -> None:
    room = {"clear_cm": {"left": 60, "right": 60, "behind": 40, "front": 80, "above": 70}}
    got = placed([{"role": "key", "rise_deg": 45, "distance": 1.5}], [{**SMALL, "nearest_cm": 100}], room=room)
    assert got.shortfalls[0] == (
        "wants a lamp in front and above: the 5 x 3 cm panel fits nowhere (there it would come nearer to the model "
        "than its nearest_cm); take one that may stand nearer"
    )


@pytest.mark.slow
def test_in_a_room_without_limits_a_lamp_stands_as_far_away_as_its_label_asks_for() -> None:
    got = placed([{"role": "key", "rise_deg": 45, "distance": 1.5}], [{**SMALL, "nearest_cm": 150}])
    assert got.shortfalls == ()
    assert np.linalg.norm(np.subtract(got.lamps[0].place.at_cm, got.hero_cm)) > 150


def test_before_a_setup_lacks_anything_the_smallest_lamp_owned_is_tried_however_many_come_before() -> None:
    large = [{"name": f"large {i}", "size_cm": [60, 50]} for i in range(5)]
    got = placed([LOW], [*large, SMALL, BULB])
    assert [lamp.name for lamp in got.lamps] == ["small"]
    assert got.shortfalls == ()


def test_without_room_for_any_lamp_a_setup_is_refused_in_one_sentence() -> None:
    with pytest.raises(InputError) as caught:
        placed([ABOVE], [SMALL], room={"clear_cm": {"above": 0.6}})
    assert str(caught.value).startswith("test.toml: setup 'mine' wants a lamp behind and above: the 5 x 3 cm panel")


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [
        ({"out_of_frame": "hide"}, "out_of_frame is no longer a key: lamps and cards leave the frame by themselves"),
        ({"aim": "wall"}, "aim = \"wall\": aim at the 'sheet'"),
    ],
)
def test_what_setups_no_longer_have_is_said_with_what_replaces_it(keys: dict[str, str], sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        placed([{"role": "key", **keys}])
    assert sentence in str(caught.value)
