"""Backdrop, model and camera in words: what is laid out before a lamp is switched on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.setups.placement_words.stage import backdrop_facts, camera_facts, model_facts
from scenes.stage.backdrop import Sweep
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import place
from tests.unit.scenes.setups.test_placed import PANEL, arranged
from tests.unit.scenes.setups.test_setup import box

SWEEP = Sweep(width_cm=70, front_cm=14.2, wall_cm=45, radius_cm=18, height_cm=49.1)
FAR = {**PANEL, "at_cm": [-60, -60, 60]}


def setup(facing_deg: float) -> PlacedSetup:
    """Return a box 10 cm wide and 6 cm deep, turned."""
    subject = subject_from_parts("box", [box("box", (10, 6, 12), (0, 0, 6))])
    placed = place(AS_PLACED, arranged(subject={"mesh": "x"}, lamps=[FAR]), subject)
    return replace(placed, subject=subject.turned(facing_deg), facing_deg=facing_deg, hero_cm=(0.4, -2.0, 10.0))


def test_a_backdrop_is_told_by_its_sheet_its_wall_its_bend_and_its_front_edge() -> None:
    facts = backdrop_facts(SWEEP, "black cloth")
    assert facts is not None
    assert facts.pop("words") == (
        "sweep: black cloth, 70 x 101 cm; wall 45 cm behind the centre mark, bend radius 18 cm, "
        "front edge 14 cm in front of the mark"
    )
    assert facts == {
        "board": "black cloth", "sheet_cm": [70, 100.6], "wall_cm": 45, "bend_radius_cm": 18, "front_edge_cm": 14.2,
    }  # fmt: skip


def test_without_a_backdrop_there_is_nothing_to_tell() -> None:
    assert backdrop_facts(None, "black cloth") is None


@pytest.mark.parametrize(
    ("facing_deg", "turn", "nearest"),
    [
        (0, "faces the camera", "3 cm"),
        (90, "turned 90 degrees to camera right", "5 cm"),
        (-35, "turned 35 degrees to camera left", "5.5 cm"),  # 3 cos 35 + 5 sin 35 = 5.33
        (180, "faces away from the camera", "3 cm"),
        (300, "turned 60 degrees to camera left", "6 cm"),  # 3 cos 60 + 5 sin 60 = 5.83
    ],
)
def test_a_model_is_told_by_its_turn_and_by_where_its_mark_is(facing_deg: float, turn: str, nearest: str) -> None:
    facts = model_facts(setup(facing_deg))
    assert facts is not None
    assert facts["words"] == (
        f"model: {turn}; the centre mark under the middle of its outline, {nearest} behind its point nearest the "
        "camera; hero 0.5 cm right and 2 cm in front of the centre mark, 10 cm up"
    )
    assert (facts["facing_deg"], facts["hero_cm"]) == (facing_deg, [0.4, -2, 10])


def test_an_empty_table_has_no_model() -> None:
    assert model_facts(replace(setup(0), subject=None)) is None


@pytest.mark.parametrize(("kind", "lens"), [("phone", "main lens, zoomed 3.2 times"), ("camera", "73 mm")])
def test_a_camera_is_told_by_its_distance_its_height_its_tilt_and_its_lens(kind: str, lens: str) -> None:
    # the hero is 89.4 cm away, where the frame is 26.8 cm high
    view = Viewpoint((0.0, -80.0, 60.0), (0.0, 0.0, 20.0), 0.15, 1.0)
    facts = camera_facts(fill_model({"kind": kind}, CameraModel, "test"), view, (0.0, 0.0, 20.0))
    assert facts.pop("words") == (
        "camera: 80 cm in front of the centre mark, lens 60 cm up, 100 cm from lens to mark in a straight line, "
        f"tilted down 27 degrees; {lens}"
    )
    assert facts == {
        "at_cm": [0, -80, 60], "distance_cm": 100, "along_table_cm": 80, "height_cm": 60, "tilt_deg": -26.6,
        "lens": lens,
    }  # fmt: skip
