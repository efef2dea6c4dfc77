"""Alternative text: what the light does, and where it comes from."""

from __future__ import annotations

import pytest

from gallery.captions.alternative_text import alternative_text
from gallery.captions.facts import frame_facts
from tests.support.sheets.frames import unlit_frame


@pytest.mark.parametrize(
    ("setup", "sentence"),
    [
        ("rembrandt", "Key from the front left, above."),
        ("split", "Key from the left."),
        ("overhead", "Key from straight above."),
        ("rim", "Rim from behind, left."),
        ("backlight", "Rim from behind, below."),
    ],
)
def test_it_says_from_where_a_lamp_shines(setup: str, sentence: str) -> None:
    facts = frame_facts(unlit_frame(setup))
    text = alternative_text(facts)
    assert text.startswith(f"{setup}: {facts['reads_as']}.")
    assert sentence in text


def test_it_says_the_finish_and_how_the_backdrop_compares() -> None:
    dark = alternative_text(frame_facts(unlit_frame("loop", "gloss", backdrop_stops=-2.0)))
    assert dark.startswith("loop, gloss finish: ")
    assert dark.endswith("The backdrop is 2.0 stops darker than the model.")
    even = alternative_text(frame_facts(unlit_frame("loop", backdrop_stops=0.1)))
    assert even.endswith("The backdrop is about as bright as the model.")


def test_a_lamp_that_is_off_is_not_described() -> None:
    facts = frame_facts(unlit_frame("loop"))
    facts["lamps"][0]["dimmer"] = 0.0
    assert alternative_text(facts) == f"loop: {facts['reads_as']}."
