"""What the keys of an arrangement mean."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from materials.surface.boards import named_boards
from materials.surface.named_finishes import named_finishes
from scenes.arrangement.arrangement import ROOM_LUX, Arrangement, CameraModel
from scenes.arrangement.reading import fill_model
from scenes.arrangement.subject_model import SubjectModel
from tests.support.arrangements import resolved

PANEL = {"name": "A", "size_cm": [20, 14]}


def arranged(**keys: Any) -> Arrangement:
    return fill_model(keys, Arrangement, "test")


@pytest.mark.parametrize("name", [name for name, board in named_boards().items() if board.finish.kind == "matt"])
def test_a_matt_board_is_called_by_its_name_or_by_its_reflectance(name: str) -> None:
    by_name, by_number = (
        arranged(backdrop={"reflectance": said}).backdrop.finish for said in (name, named_boards()[name].reflectance)
    )
    assert by_name == by_number


def test_a_card_or_a_backdrop_may_be_of_a_colour() -> None:
    card = {"size_cm": [20, 20], "at_cm": [0, 0, 10], "facing": [1, 0, 0], "colour": "#c02020"}
    arrangement = arranged(cards=[card], backdrop={"colour": "#c02020"})
    assert arrangement.cards[0].finish == arrangement.backdrop.finish
    assert arrangement.cards[0].finish.base[300] > 5 * arrangement.cards[0].finish.base[100]


def test_a_board_is_named_as_declared_by_its_reflectance_or_by_its_colour() -> None:
    boards = [{"reflectance": "black cloth"}, {"reflectance": 0.175}, {}, {"colour": "#24508c"}]
    names = [arranged(backdrop=board).backdrop.board for board in boards]
    assert names == ["black cloth", "17.5 % grey board", "18 % grey board", "#24508c board"]
    card = {"size_cm": [20, 20], "at_cm": [0, 0, 10], "facing": [1, 0, 0]}
    assert arranged(cards=[card]).cards[0].board == "85 % white board"


@pytest.mark.parametrize("name", named_finishes())
def test_a_topcoat_is_called_by_its_name_or_by_its_gloss(name: str) -> None:
    gloss = named_finishes()[name].gloss_units
    by_name, by_number = (arranged(subject={"mesh": "a.stl", "topcoat": coat}) for coat in (name, gloss))
    assert by_name == by_number
    assert by_name.subject is not None
    assert by_name.subject.topcoat == gloss


@pytest.mark.parametrize(("word", "lux"), ROOM_LUX.items())
def test_a_room_is_called_by_a_word_or_by_its_lux(word: str, lux: float) -> None:
    assert arranged(room={"lux": word}).room.lux == lux
    assert arranged(room={"lux": word}) == arranged(room={"lux": lux})


def test_a_room_is_clear_as_far_as_it_says_and_without_limit_elsewhere() -> None:
    clear = arranged(room={"clear_cm": {"left": 60, "above": 70.5}}).room.clear_cm
    assert clear.model_dump() == {"left": 60, "right": None, "behind": None, "front": None, "above": 70.5}
    assert arranged().room.clear_cm.model_dump(exclude_none=True) == {}


def test_whole_numbers_stand_for_their_decimals() -> None:
    assert arranged(camera={"distance_cm": 70}) == arranged(camera={"distance_cm": 70.0})


def test_the_lamps_placed_by_hand_are_told_from_the_others() -> None:
    fixed = {"name": "B", "size_cm": [20, 14], "at_cm": [0, -40, 40], "aim_cm": [0, 0, 10]}
    arrangement = arranged(lamps=[PANEL, fixed])
    assert [lamp.name for lamp in resolved(arrangement).fixed_lamps] == ["B"]


def test_a_bulb_needs_no_aim() -> None:
    bulb = {"name": "bulb", "kind": "bulb", "diameter_cm": 6, "at_cm": [0, -40, 40]}
    assert len(resolved(arranged(lamps=[bulb])).fixed_lamps) == 1


@pytest.mark.parametrize(
    ("lamp", "extent"),
    [
        (PANEL, (20, 14)),
        ({"name": "A", "kind": "disc", "diameter_cm": 9}, (9, 9)),
        ({"name": "A", "kind": "bulb", "diameter_cm": 6}, (6, 6)),
    ],
)
def test_a_lamp_takes_up_its_size_or_its_diameter(lamp: dict[str, Any], extent: tuple[float, float]) -> None:
    assert resolved(arranged(lamps=[lamp])).lamps[0].extent_cm == extent


@pytest.mark.parametrize("key", ["title", "lamps", "unheard_of"])
def test_an_arrangement_does_not_change(key: str) -> None:
    arrangement = arranged(lamps=[PANEL])
    with pytest.raises(ValueError, match="frozen"):
        setattr(arrangement, key, "changed")
    assert arrangement == arranged(lamps=[PANEL])


@pytest.mark.parametrize(("written", "seconds"), [("1/60", 1 / 60), ("1/60 s", 1 / 60), ("10/13", 10 / 13), (0.5, 0.5)])
def test_a_shutter_may_be_a_fraction(written: str | float, seconds: float) -> None:
    assert CameraModel.model_validate({"shutter_s": written, "iso": 100}).shutter_s == pytest.approx(seconds)


@pytest.mark.parametrize("written", ["1/0", "1/60000000", "f/8", "1/60/2"])
def test_what_is_no_fraction_is_no_shutter(written: str) -> None:
    with pytest.raises(ValidationError, match="shutter_s"):
        CameraModel.model_validate({"shutter_s": written, "iso": 100})


@pytest.mark.parametrize(
    ("written", "name"),
    [("matte", "matt"), ("Semi Gloss", "semi-gloss"), ("semigloss", "semi-gloss"), ("MATT", "matt")],
)
def test_a_finish_is_known_by_other_spellings(written: str, name: str) -> None:
    assert SubjectModel.model_validate({"mesh": "a", "topcoat": written}).topcoat == named_finishes()[name].gloss_units
