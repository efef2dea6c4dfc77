"""The words of a frame: one reading of each distance on the whole page."""

from __future__ import annotations

from gallery.page.content import frame_texts
from scenes.lengths import half_cm
from scenes.setups.placement_words.facts import placement_facts, placement_lines
from tests.support.sheets.frames import even_light, unlit_frame


def test_where_everything_stands_is_read_to_half_a_centimetre_as_in_the_steps() -> None:
    frame = unlit_frame("three-point")
    (text,) = frame_texts([frame], [even_light(frame)])
    assert list(text.placement) == placement_lines(placement_facts(frame.setup, frame.shot.camera, half_cm))
    assert list(text.placement) != placement_lines(placement_facts(frame.setup, frame.shot.camera))
