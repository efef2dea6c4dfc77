"""Steps: one for each thing that is placed, in short lines that lose nothing of its sentence."""

from __future__ import annotations

import re
from typing import Any

import pytest

from gallery.page.steps import Step, set_up_steps
from render.frame import Frame
from scenes.lengths import half_cm
from scenes.setups.placement_words.facts import placement_facts, placement_lines
from tests.support.sheets.frames import even_light, unlit_frame


def placed(frame: Frame) -> dict[str, Any]:
    return placement_facts(frame.setup, frame.shot.camera, half_cm)


def steps(frame: Frame) -> list[Step]:
    return set_up_steps(frame, even_light(frame))


@pytest.mark.parametrize("setup", ["loop", "butterfly-card", "three-point"])
def test_steps_say_the_placement_in_its_order_between_cautions_and_meter_exposure_and_what_to_look_for(
    setup: str,
) -> None:
    frame = unlit_frame(setup)
    before, *placing, meter, exposure, last = steps(frame)
    assert any("Lamps run hot" in line for line in before.lines)
    words = [re.findall(r"\w+", line) for line in placement_lines(placed(frame))]
    said = [re.findall(r"\w+", " ".join([step.heading, *step.lines])) for step in placing if step.heading != "room"]
    assert said == words
    assert all(any(f" {lamp.role} " in line for line in meter.lines) for lamp in frame.setup.lamps)
    assert exposure.lines == ("1/60 s", "f/1.7", "ISO 50", "white balance near 4000 K")
    assert last.lines == frame.setup.look_for


def test_a_height_stays_with_the_point_that_it_is_of() -> None:
    lines = [line for step in steps(unlit_frame("butterfly-close")) for line in step.lines]
    assert any(re.fullmatch(r"aimed at the model's middle, \S+ cm up", line) for line in lines)
    assert not any(re.fullmatch(r"\S+ cm up", line) for line in lines)
