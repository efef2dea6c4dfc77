"""Setups put up: the person's lamps and cards, their own setups, and lamps fixed by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.cards.placed_card import placed_cards
from scenes.arrangement.reading import fill_model
from scenes.arrangement.subject_model import SubjectModel
from scenes.errors import InputError
from scenes.geometry import round_and_rise
from scenes.setups.place import Place
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.setups.setup import load_setup, setup_names
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.support.arrangements import place

from .test_setup import FIGURE, box

PANEL = {"name": "panel", "size_cm": [20, 14], "at_cm": [-20, -30, 40], "aim_cm": [0, 0, 10]}
BULB = {"name": "bulb", "kind": "bulb", "diameter_cm": 6, "at_cm": [25, 0, 12]}
OWN = """
reads_as = "mine"
turn_deg = 20
[backdrop]
reflectance = "black velvet"
[[lamps]]
role = "key"
round_deg = 30
rise_deg = 50
distance = 2
dimmer = 0.5
[[lamps]]
role = "fill"
round_deg = -50
rise_deg = 10
distance = 3
stops_under_key = 1.5
[[cards]]
role = "bounce"
size = [1, 1]
reflectance = 0.6
round_deg = 90
distance = 1.5
"""


def arranged(**keys: Any) -> Arrangement:
    return fill_model({"subject": {"mesh": "x", "hero": "head"}, **keys}, Arrangement, "test")


def figure() -> Subject:
    return subject_from_parts("figure", FIGURE)


def placed_by_hand(*lamps: dict[str, Any], subject: Subject | None = None, **keys: Any) -> PlacedSetup:
    return place(AS_PLACED, arranged(lamps=list(lamps), **keys), subject or figure())


def test_lamps_fixed_by_hand_stand_exactly_where_they_were_put() -> None:
    placed = placed_by_hand(PANEL, BULB)
    assert [(lamp.role, lamp.name) for lamp in placed.lamps] == [("key", "panel"), ("lamp 2", "bulb")]
    assert placed.lamps[0].place == Place((-20, -30, 40), (0, 0, 10))
    assert placed.lamps[1].place.at_cm == (25, 0, 12)


@pytest.mark.parametrize(
    ("stated", "roles"),
    [
        ((None, None), ("key", "lamp 2")), (("rim", "key"), ("rim", "key")), ((None, "key"), ("lamp 1", "key")),
        ((None, "fill"), ("key", "fill")),
    ],
)  # fmt: skip
def test_a_lamp_fixed_by_hand_has_the_role_that_it_states(stated: tuple[Any, ...], roles: tuple[str, ...]) -> None:
    first, second = ({"role": role} if role else {} for role in stated)
    placed = placed_by_hand({**PANEL, **first}, {**BULB, **second})
    assert tuple(lamp.role for lamp in placed.lamps) == roles
    assert placed.reference == roles.index("key")


@pytest.mark.parametrize(("size_cm", "as_declared"), [([20, 14], False), ([14, 20], True)])
def test_a_panel_fixed_by_hand_is_turned_as_it_states(size_cm: list[float], as_declared: bool) -> None:
    panel = {**PANEL, "size_cm": size_cm}
    assert placed_by_hand(panel).lamps[0].place.upright == as_declared
    assert [placed_by_hand({**panel, "upright": up}).lamps[0].extent_cm for up in (True, False)] == [(14, 20), (20, 14)]


def test_the_frame_has_room_for_the_ways_that_the_camera_states_and_for_how_the_subject_stands() -> None:
    wide = [box("board", (16, 2, 12), (0, 0, 6)), box("head", (2, 2, 4), (0, 0, 14))]

    def view(faces_deg: float, *facings_deg: float) -> Viewpoint:
        subject = {"mesh": "x", "hero": "head", "faces_deg": faces_deg}
        camera = {"facings_deg": facings_deg, "fill_frame": 0.7}
        declared = arranged(subject=subject, camera=camera, lamps=[PANEL], backdrop={"kind": "none"})
        return place(AS_PLACED, declared, subject_from_parts("board", wide), 0.5).view

    assert view(90, 90).tan_half_height < 0.9 * view(0, 0).tan_half_height  # edge-on it is narrow
    assert view(90, 0) == view(90, 0, 90) == view(0, 0, 90)


def test_a_lamp_that_is_not_fixed_takes_no_part_in_what_is_placed_by_hand() -> None:
    spare = {"name": "spare", "size_cm": [5, 5]}
    assert [lamp.name for lamp in placed_by_hand(spare, PANEL).lamps] == ["panel"]


def test_a_lamp_fixed_by_hand_keeps_its_dimmer() -> None:
    assert placed_by_hand({**PANEL, "dimmer": 0.25}).lamps[0].dimmer == 0.25


def test_as_placed_without_a_fixed_lamp_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        place(AS_PLACED, arranged(lamps=[{"name": "spare", "size_cm": [5, 5]}]), figure())
    assert str(caught.value) == "setup 'as-placed' needs a lamp with at_cm and aim_cm in the arrangement"


def test_a_lamp_inside_the_subject_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        placed_by_hand({**PANEL, "at_cm": [0, 0, 9]})
    assert str(caught.value) == (
        "test.toml: lamp 'panel': at_cm = [0.0, 0.0, 9.0] stands inside the subject, which reaches from "
        "[-4.0, -1.9, 0.0] to [4.0, 1.9, 16.6] cm; move it clear"
    )


def test_a_bulb_in_the_hollow_of_the_subject_touches_nothing_and_is_refused() -> None:
    with pytest.raises(InputError, match="stands inside the subject"):
        placed_by_hand({**BULB, "diameter_cm": 0.5, "at_cm": [0, 0, 10]})


def test_a_bulb_in_free_air_beside_an_l_shaped_subject_is_no_part_of_it() -> None:
    angle = subject_from_parts("L", [box("foot", (20, 10, 4), (0, 0, 2)), box("back", (4, 10, 20), (-8, 0, 10))])
    bulb = {**BULB, "diameter_cm": 3, "at_cm": [4, 0, 12]}
    table = {"subject": {"mesh": "x"}}
    assert place(AS_PLACED, arranged(lamps=[bulb], **table), angle).lamps[0].place.at_cm == (4, 0, 12)
    with pytest.raises(InputError, match="stands inside the subject"):
        place(AS_PLACED, arranged(lamps=[{**bulb, "at_cm": [4, 0, 5]}], **table), angle)


def test_a_lamp_whose_edge_alone_cuts_the_subject_is_refused() -> None:
    beside = {**PANEL, "at_cm": [10.0, 0, 15], "aim_cm": [10.0, -50, 15]}
    with pytest.raises(InputError, match="stands inside the subject"):
        placed_by_hand(beside)
    assert placed_by_hand({**beside, "at_cm": [15.0, 0, 15], "aim_cm": [15.0, -50, 15]}).lamps


@pytest.mark.parametrize(
    ("at", "aim"), [((-30, -30, 3), (0, 0, 3)), ((-30, -30, -20), (0, 0, 10)), ((0, 60, 20), (0, 0, 10))]
)
def test_a_lamp_below_the_table_or_behind_the_backdrop_is_refused(at: Any, aim: Any) -> None:
    with pytest.raises(InputError) as caught:
        placed_by_hand({**PANEL, "at_cm": at, "aim_cm": aim})
    assert str(caught.value) == (
        f"test.toml: lamp 'panel': at_cm = {[float(v) for v in at]} puts part of it below the table or behind the "
        "backdrop; raise it or bring it nearer"
    )


def test_a_lamp_may_stand_behind_the_wall_where_all_of_it_is_over_the_top_of_the_sheet() -> None:
    sheet = {"sheet_cm": [70, 90]}
    over = {**PANEL, "aim_cm": [0, 0, 10]}
    placed = placed_by_hand({**over, "at_cm": [0, 55, 80]}, backdrop=sheet)
    assert placed.sweep is not None
    assert placed.sweep.wall_cm < 55
    assert placed.sweep.height_cm < 80 - 7
    with pytest.raises(InputError, match="below the table or behind the backdrop"):
        placed_by_hand({**over, "at_cm": [0, 55, placed.sweep.height_cm + 1]}, backdrop=sheet)


def test_a_wall_within_the_subject_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        placed_by_hand(PANEL, backdrop={"distance_cm": 0.01})
    assert str(caught.value) == (
        "test.toml: backdrop.distance_cm = 0.01: the wall stands inside the subject, "
        "which reaches 2 cm behind the centre mark; move the wall away"
    )


def test_without_a_backdrop_a_lamp_may_stand_anywhere_round_the_subject() -> None:
    far = {**PANEL, "at_cm": [0, 90, 20]}
    assert placed_by_hand(far, backdrop={"kind": "none"}).sweep is None


@pytest.mark.parametrize("off_cm", [0, 1e-12, 1e-200])
def test_a_lamp_that_aims_at_itself_is_refused(off_cm: float) -> None:
    with pytest.raises(InputError) as caught:
        placed_by_hand({**PANEL, "at_cm": [0, -30, 40], "aim_cm": [off_cm, -30, 40]})
    assert str(caught.value) == "test.toml: lamp 'panel': at_cm and aim_cm are the same point; aim it at something else"


def test_a_bulb_over_the_centre_mark_needs_no_aim() -> None:
    above = {**BULB, "at_cm": [0, 0, 40]}
    assert placed_by_hand(above).lamps[0].place.at_cm == (0, 0, 40)


def test_an_empty_table_takes_lamps_fixed_by_hand() -> None:
    placed = place(AS_PLACED, fill_model({"lamps": [PANEL]}, Arrangement, "test"), None)
    assert (placed.subject, placed.size_cm) == (None, 18)
    assert placed.lamps[0].place == Place((-20, -30, 40), (0, 0, 10))


def test_an_empty_table_takes_a_bulb_that_hangs_over_its_centre_mark() -> None:
    bulb = {**BULB, "at_cm": [0, 0, 40]}
    placed = place(AS_PLACED, fill_model({"lamps": [bulb]}, Arrangement, "test"), None)
    assert np.isfinite(placed.lamps[0].place.facing).all()


def test_a_setup_without_a_subject_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        place("loop", Arrangement(), None)
    told = "setup 'loop' needs a subject to stand round; an empty table takes lamps with at_cm"
    assert str(caught.value) == told


def test_an_unknown_setup_is_told_with_the_nearest_spelling() -> None:
    with pytest.raises(InputError) as caught:
        place("buterfly", arranged(), figure())
    assert str(caught.value) == "no setup is called 'buterfly' (did you mean 'butterfly'?)"


def test_an_unknown_hero_is_told_with_the_nearest_spelling() -> None:
    with pytest.raises(InputError) as caught:
        place("loop", arranged(subject={"mesh": "x", "hero": "haed"}), figure())
    right = "no part of figure is called so (did you mean 'head'?)"
    assert str(caught.value) == f'test.toml: subject.hero = "haed": {right}'


def test_a_setup_of_ones_own_is_put_up_from_its_file(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(OWN, encoding="utf-8")
    placed = place(str(path), arranged(), figure())
    assert (placed.name, placed.reads_as) == ("mine", "mine")
    assert placed.backdrop.base[0] == 0.004
    assert [(lamp.role, lamp.dimmer, lamp.stops_under_key) for lamp in placed.lamps] == [
        ("key", 0.5, None),
        ("fill", 1, 1.5),
    ]
    # the subject is turned by 20 degrees, and the key counts from its face
    way = np.subtract(placed.lamps[0].place.at_cm, placed.hero_cm)
    assert np.degrees(np.arctan2(way[0], -way[1])) == pytest.approx(50, abs=1)
    assert [(card.name, card.reflectance) for card in placed.cards] == [("bounce", 0.6)]


def test_a_setup_of_ones_own_that_is_not_there_is_told(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    with pytest.raises(InputError) as caught:
        place(str(path), arranged(), figure())
    assert str(caught.value) == f"{path}: there is no such file; check the spelling"


def test_a_setup_turns_the_subject_and_leaves_the_one_it_got_alone() -> None:
    subject = figure()
    before = subject.bounds_cm.copy()
    placed = place("broad", arranged(), subject)
    assert placed.subject is not None
    np.testing.assert_array_equal(subject.bounds_cm, before)
    assert not np.allclose(placed.subject.bounds_cm, before)


def test_the_lamps_owned_are_used_in_their_order_with_their_own_dimmers() -> None:
    owned = [
        {"name": "A", "size_cm": [30, 20], "dimmer": 0.5},
        {"name": "B", "size_cm": [20, 14]},
        {"name": "C", "kind": "disc", "diameter_cm": 4},
    ]
    placed = place("three-point", arranged(lamps=owned), figure())
    assert [(lamp.role, lamp.name) for lamp in placed.lamps] == [("key", "A"), ("fill", "B"), ("rim", "C")]
    assert placed.lamps[0].dimmer == 0.5
    assert placed.shortfalls == ()


def test_a_setup_says_which_lamps_it_lacks_and_is_put_up_all_the_same() -> None:
    placed = place("three-point", arranged(lamps=[{"name": "A", "size_cm": [30, 20]}]), figure())
    assert [lamp.role for lamp in placed.lamps] == ["key", "fill", "rim"]
    assert placed.shortfalls == (
        "needs 3 lamps, 1 owned: a generic panel of 4000 K is the fill",
        "needs 3 lamps, 1 owned: a generic panel of 4000 K is the rim",
    )


def test_the_cards_of_the_arrangement_stay_in_every_setup() -> None:
    card = {"name": "mine", "size_cm": [21, 29.7], "at_cm": [0, -12, 0.5], "facing": [0, 0, 1]}
    arrangement = arranged(cards=[card], lamps=[PANEL])
    for name in ("loop", "butterfly-card", AS_PLACED):
        assert place(name, arrangement, figure()).cards[:1] == placed_cards(arrangement.cards)


def test_the_backdrop_of_the_arrangement_stands_behind_a_setup_without_its_own() -> None:
    arrangement = arranged(backdrop={"reflectance": "grey poster board"})
    loop, low_key = (place(name, arrangement, figure()) for name in ("loop", "low-key"))
    assert (loop.backdrop.base[0], loop.backdrop_board) == (0.30, "grey poster board")
    assert (low_key.backdrop.base[0], low_key.backdrop_board) == (0.012, "black cloth")
    assert placed_by_hand(PANEL, backdrop={"colour": "#24508c"}).backdrop_board == "#24508c board"


def test_the_frame_has_the_shape_that_is_asked_for() -> None:
    assert place("loop", arranged(), figure(), 16 / 9).view.aspect == 16 / 9


@pytest.mark.parametrize("faces_deg", [-60.0, -10.0, 25.0, 70.0])
@pytest.mark.parametrize(("setup", "near"), [("broad", True), ("short", False)])
def test_broad_and_short_keep_their_sides_whichever_way_the_subject_looked(
    faces_deg: float, setup: str, near: bool
) -> None:
    arrangement = fill_model({"subject": {"mesh": "x", "hero": "head", "faces_deg": faces_deg}}, Arrangement, "test")
    placed = place(setup, arrangement, figure())
    face = np.copysign(load_setup(setup).turn_deg, faces_deg)
    key_round, _ = round_and_rise(np.subtract(placed.lamps[0].place.at_cm, placed.hero_cm))
    # the key stands on the camera's side of the face for broad, on its far side for short
    assert bool((key_round - face) * (0 - face) > 0) is near


@pytest.mark.slow
@pytest.mark.parametrize("name", setup_names())
def test_a_model_far_smaller_than_the_lamps_is_lit_or_told_that_it_is_not(name: str) -> None:
    placed = place(name, arranged(), tiny())
    for lamp in placed.lamps:
        assert np.isfinite(lamp.place.facing).all()
    assert place(name, arranged(), figure()).shortfalls == ()


def tiny() -> Subject:
    return subject_from_parts("figure", FIGURE, SubjectModel(mesh="figure", height_cm=1.0))


def test_a_setup_is_found_in_capitals_too() -> None:
    assert place("Rembrandt", arranged(), figure()).name == "rembrandt"
