"""Marks lie where the arrangement has its lamps, cards, camera and sheet."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.mat.arrows import arrow_to
from gallery.mat.format import Format
from gallery.mat.marks.mark import Mark, Stroke
from gallery.mat.marks.of_setup import marks_of
from gallery.mat.tiling import lay_pages
from gallery.paper.size import PaperName, paper_of
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import PlacedSetup
from scenes.setups.setup import setup_names
from scenes.subject.subject import Subject
from tests.support.arrangements import place, subject_in
from tests.support.few import few_plain

PANEL: dict[str, Any] = {"name": "panel", "kind": "panel", "size_cm": [20, 14], "lumens": 1000, "kelvin": 4000}


@pytest.fixture(scope="module")
def pill(tmp_path_factory: pytest.TempPathFactory) -> Subject:
    path = tmp_path_factory.mktemp("marks") / "pill.stl"
    trimesh.creation.capsule(height=6, radius=2).export(path)
    return subject_in(path, height_cm=16.0)


def declared(**sections: Any) -> Arrangement:
    return fill_model({"subject": {"mesh": "pill.stl", "height_cm": 16.0}, **sections}, Arrangement, "test.toml")


def by_hand(pill: Subject, **sections: Any) -> dict[str, Mark]:
    setup = place("as-placed", declared(**sections), pill)
    return {mark.name: mark for mark in marks_of(setup)}


@pytest.mark.parametrize("name", few_plain(setup_names(), {"three-point", "high-key"}))
def test_every_setup_has_its_lamps_cards_and_camera_marked(name: str, pill: Subject) -> None:
    setup = place(name, declared(), pill)
    marks = {mark.name: mark for mark in marks_of(setup)}
    for number, lamp in enumerate(setup.lamps, 1):
        assert marks[f"{number} {lamp.role}"].at_cm == pytest.approx(lamp.place.at_cm[:2])
    cards = [mark for mark in marks.values() if mark.name.startswith("card ")]
    assert len(cards) == len(setup.cards)
    assert marks["camera"].at_cm == pytest.approx(setup.view.at_cm[:2])
    assert marks["camera"].from_cm == pytest.approx([0, 0])
    assert setup.sweep is not None
    assert marks["sheet, front edge"].at_cm[1] == pytest.approx(-setup.sweep.front_cm)


def test_a_lamp_is_told_by_height_tilt_string_and_angle(pill: Subject) -> None:
    lamp = {**PANEL, "at_cm": [-30, -30, 42.7], "aim_cm": [0, 0, 13.3]}
    mark = by_hand(pill, lamps=[lamp])["1 key"]
    assert mark.words[-2] == "lamp centre 42.5 cm up, tilted down 35 degrees, longer side level"
    assert mark.words[-1].startswith("seen from the hero 45 degrees left of the camera's line; string to the hero 51")


def test_a_lamps_outline_is_its_panel_from_above(pill: Subject) -> None:
    lamp = {**PANEL, "at_cm": [0, -30, 50], "aim_cm": [0, -30, 0]}
    mark = by_hand(pill, lamps=[lamp])["1 key"]
    dashed = np.vstack([line.points_cm for line in mark.lines if line.stroke is Stroke.above])
    assert np.ptp(dashed, axis=0) == pytest.approx([20, 14])
    assert (dashed.min(axis=0) + dashed.max(axis=0)) / 2 == pytest.approx([0, -30])


def test_a_card_is_marked_along_its_lower_edge_at_true_length(pill: Subject) -> None:
    lamp = {**PANEL, "at_cm": [-30, -30, 42], "aim_cm": [0, 0, 13]}
    card = {
        "name": "bounce",
        "size_cm": [30, 20],
        "reflectance": "white paper",
        "at_cm": [20, 0, 10],
        "facing": [-1, 0, 0],
    }
    mark = by_hand(pill, lamps=[lamp], cards=[card])["card A (bounce)"]
    (edge,) = (line.points_cm for line in mark.lines if line.stroke is Stroke.touches)
    assert sorted(edge.tolist()) == [pytest.approx([20, -15]), pytest.approx([20, 15])]
    assert mark.at_cm == pytest.approx([20, 0])
    assert mark.words == ("middle of its lower edge, on the table", "upright", "white paper, 30 cm wide, 20 cm high")


def test_an_empty_table_has_its_centre_mark() -> None:
    lamp = {**PANEL, "at_cm": [-10, -10, 40], "aim_cm": [0, 0, 0]}
    setup = place("as-placed", fill_model({"lamps": [lamp]}, Arrangement, "test.toml"), None)
    marks = marks_of(setup)
    assert [mark.name for mark in marks[:2]] == ["centre mark", "1 key"]
    assert (
        marks[1].words[-1]
        == "seen from the centre mark 45 degrees left of the camera's line; string to the centre mark 42.5 cm"
    )


@pytest.mark.parametrize("paper", few_plain(PaperName, {PaperName.A4}))
def test_the_arrow_to_what_is_beyond_the_mat_ends_on_it_as_far_off_as_it_says(paper: PaperName, pill: Subject) -> None:
    for mark, tiling in _beyond(place("three-point", declared(), pill), paper):
        arrow = arrow_to(mark, tiling)
        assert arrow is not None
        assert mark.from_cm is not None
        assert tiling.has(arrow.tip_cm)
        assert np.linalg.norm(mark.at_cm - arrow.tip_cm) == pytest.approx(arrow.rest_cm)
        assert (2 * arrow.rest_cm) % 1 == pytest.approx(0)
        way, part = mark.at_cm - mark.from_cm, arrow.tip_cm - mark.from_cm
        assert way[0] * part[1] - way[1] * part[0] == pytest.approx(0, abs=1e-9)


def _beyond(setup: PlacedSetup, paper: PaperName) -> list[tuple[Mark, Any]]:
    marks, sheet = marks_of(setup), paper_of(paper)
    tiling = lay_pages(marks, [Format(sheet), Format(sheet.lying)])
    beyond = [(mark, tiling) for mark in marks if mark.from_cm is not None and not tiling.has(mark.at_cm)]
    assert "camera" in [mark.name for mark, _ in beyond]
    return beyond
