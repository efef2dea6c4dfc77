"""Parts are told apart by their colours: those that touch differ."""

from __future__ import annotations

import numpy as np

from gallery.drawings.part_colours import COLOURS, part_colours, touching_parts


def test_as_many_parts_as_there_are_colours_differ_all() -> None:
    assert sorted(part_colours([1] * len(COLOURS), [])) == list(range(len(COLOURS)))


def test_parts_that_touch_differ_however_many_there_are() -> None:
    """A strip of two rows of forty, each touching its neighbours across and down."""
    number = np.arange(80).reshape(2, 40).astype(np.int32)
    pairs = touching_parts(number)
    assert len(pairs) == 2 * 39 + 40
    colours = part_colours([80 - i for i in range(80)], pairs)
    assert all(colours[one] != colours[other] for one, other in pairs)


def test_what_is_no_part_touches_none() -> None:
    assert touching_parts(np.array([[0, -1, 1], [0, -1, 1]], np.int32)) == set()
