"""Steps: one for each thing that is placed, in short lines that lose nothing of its sentence."""

from __future__ import annotations

import re

import pytest

from gallery.captions.facts import frame_facts
from gallery.page.steps import BEFORE, set_up_steps
from scenes.setups.placement_words.facts import placement_lines
from tests.support.frames import unlit_frame


def test_a_height_stays_with_the_point_that_it_is_of() -> None:
    lines = [line for step in set_up_steps(frame_facts(unlit_frame("butterfly-close"))) for line in step.lines]
    assert any(re.fullmatch(r"aimed at the model's middle, \S+ cm up", line) for line in lines)
    assert not any(re.fullmatch(r"\S+ cm up", line) for line in lines)


@pytest.mark.parametrize("setup", ["loop", "butterfly-card", "three-point"])
def test_steps_say_the_placement_in_its_order_then_the_exposure_then_what_to_look_for(setup: str) -> None:
    facts = frame_facts(unlit_frame(setup))
    before, *placing, exposure, last = set_up_steps(facts)
    assert before is BEFORE
    words = [re.findall(r"\w+", line) for line in placement_lines(facts["placement"])]
    assert [re.findall(r"\w+", " ".join([step.heading, *step.lines])) for step in placing] == words
    assert exposure.lines == ("1/60 s", "f/1.7", "ISO 50", "white balance 4000 K")
    assert all(len(step.lines) >= 3 for step in placing)
    assert last.lines == (facts["reads_as"],)
