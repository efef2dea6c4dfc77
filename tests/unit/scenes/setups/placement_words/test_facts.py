"""The placement of a whole setup: one sentence for each thing, in the order in which it is set up."""

from __future__ import annotations

from scenes.arrangement.arrangement import CameraModel
from scenes.setups.placed import AS_PLACED
from scenes.setups.placement_words.facts import placement_facts, placement_lines
from tests.support.arrangements import place
from tests.unit.scenes.setups.test_placed import BULB, PANEL, arranged, figure, placed_by_hand

CARD = {"name": "mine", "size_cm": [21, 29.7], "at_cm": [0, -12, 0.5], "facing": [0, 0, 1]}


def test_each_thing_of_a_setup_has_its_line() -> None:
    lines = placement_lines(placement_facts(placed_by_hand(PANEL, BULB, cards=[CARD]), CameraModel()))
    assert [line.split(":")[0] for line in lines] == ["sweep", "model", "camera", "key", "lamp 2", "mine"]


def test_what_is_not_there_has_no_line() -> None:
    bare = arranged(backdrop={"kind": "none"}, lamps=[PANEL])
    empty = place(AS_PLACED, bare.model_copy(update={"subject": None}), None)
    facts = placement_facts(empty, CameraModel())
    assert (facts["backdrop"], facts["model"], facts["cards"]) == (None, None, [])
    assert [line.split(":")[0] for line in placement_lines(facts)] == ["camera", "key"]


def test_a_card_of_a_setup_stands_on_the_table_below_the_frame() -> None:
    (card,) = placement_facts(place("clamshell-soft", arranged(), figure()), CameraModel())["cards"]
    assert card["board"] == "white paper"
    assert card["lower_edge_cm"][2] <= 1
    assert "leaning back" in card["words"]
    assert "facing the model, lower edge 0.5 cm up, 19 cm in front of the centre mark" in card["words"]
