"""What the lens sees past the subject: exact, through every gap."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from scenes.mesh.opacity_map import OpacityMap
from scenes.setups.placement.occluder import occluder_of
from tests.unit.scenes.setups.test_place import stage
from tests.unit.scenes.setups.test_setup import box

HALVES = [box("left", (6, 2, 12), (-3.05, 0, 6)), box("right", (6, 2, 12), (3.05, 0, 6))]
"""Two boxes side by side, a millimetre apart."""
STAGE = stage(parts=HALVES)
OCCLUDER = occluder_of(STAGE.subject, STAGE.view)


@pytest.mark.parametrize(
    ("at_cm", "is_hidden"),
    [
        ((3.0, 5.0, 6.0), True), ((-3.0, 5.0, 6.0), True), ((0.0, 5.0, 6.0), False), ((0.04, 5.0, 6.0), False),
        ((0.2, 5.0, 6.0), True), ((3.0, -5.0, 6.0), False), ((9.0, 5.0, 6.0), False), ((3.0, 5.0, 20.0), False),
    ],
)  # fmt: skip
def test_a_point_is_hidden_behind_the_subject_and_seen_through_a_gap_of_a_millimetre(
    at_cm: tuple[float, float, float], is_hidden: bool
) -> None:
    assert OCCLUDER.hides(np.array([at_cm])) is is_hidden


def test_of_several_points_all_have_to_be_hidden() -> None:
    assert OCCLUDER.hides(np.array([[3.0, 5.0, 6.0], [-3.0, 5.0, 6.0]]))
    assert not OCCLUDER.hides(np.array([[3.0, 5.0, 6.0], [0.0, 5.0, 6.0]]))
    assert OCCLUDER.hides(np.empty((0, 3)))


def test_nothing_is_hidden_behind_glass_or_behind_a_part_with_holes() -> None:
    left, right = STAGE.subject.parts
    holed = replace(right, opacity_map=OpacityMap.uniform(0.5, len(right.faces)))
    occluder = occluder_of(replace(STAGE.subject, parts=(left, holed)), STAGE.view)
    assert not occluder.hides(np.array([[3.0, 5.0, 6.0]]))
    assert occluder.hides(np.array([[-3.0, 5.0, 6.0]]))
    assert not occluder_of(STAGE.subject, STAGE.view, ["left", "right"]).hides(np.array([[-3.0, 5.0, 6.0]]))
