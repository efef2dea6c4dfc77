"""Lamps are named by number and cards by letter, the same in every document."""

from __future__ import annotations

from gallery.diagram.items import marked_words
from scenes.arrangement.arrangement import CameraModel
from scenes.setups.placement_words.facts import placement_facts
from tests.support.arrangements import place
from tests.unit.scenes.setups.test_placed import arranged, figure


def test_the_sentence_of_a_lamp_has_its_number_and_that_of_a_card_its_letter() -> None:
    setup = place("clamshell-soft", arranged(), figure())
    words = marked_words(setup, placement_facts(setup, CameraModel()))
    assert words[0].startswith("1 key: ")
    assert words[-1].startswith(f"card A, {setup.cards[0].name}: ")
    assert len(words) == len(setup.lamps) + len(setup.cards)
