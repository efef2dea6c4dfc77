"""What a close-up says of fine lines: how wide they are there, and that a coarse mesh holds none."""

from __future__ import annotations

import pytest

from gallery.frames.close_up import close_up, detail_lines
from scenes.errors import InputError
from tests.unit.scenes.setups.test_setup import place_named

FINE = {"part": "hull", "line_pixels": 1.62, "edge_pixels": 2.0, "triangles": 90_000}


def test_a_close_up_says_how_wide_a_line_is() -> None:
    assert detail_lines(FINE) == ["a 0.2 mm line is 1.6 pixels wide here"]
    assert detail_lines(None) == []


def test_a_coarse_mesh_is_told_and_one_of_many_long_triangles_is_not() -> None:
    lines = detail_lines({**FINE, "edge_pixels": 40.0, "triangles": 300})
    assert lines[1] == (
        "the mesh is too coarse for panel lines here: 'hull' has 300 triangles, typically 40 pixels long"
    )
    assert len(detail_lines({**FINE, "edge_pixels": 40.0})) == 1


def test_a_part_that_is_not_there_is_told_with_the_nearest_name() -> None:
    setup = place_named("figure", "loop")
    assert setup.subject is not None
    name = setup.subject.parts[0].name
    with pytest.raises(InputError, match=f"--detail {name}x: no part is called so .did you mean '{name}'"):
        close_up(setup, f"{name}x", None)


def test_in_a_close_up_lamps_and_cards_stand_as_for_the_whole() -> None:
    setup = place_named("figure", "clamshell")
    assert setup.subject is not None
    close = close_up(setup, setup.subject.parts[0].name, 0.75)
    assert (close.lamps, close.cards, close.sweep, close.hero_cm) == (
        setup.lamps,
        setup.cards,
        setup.sweep,
        setup.hero_cm,
    )
    assert close.view.at_cm == setup.view.at_cm
