"""Receptors at the hero: on the line to a lamp where it leaves the model, and on a table without the model."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh

from render.description.scene import setup_geometry
from render.readings.receptors import bare_geometry, exit_cm, receptor_facing, receptors_of
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.support.arrangements import finishes, place
from tests.unit.scenes.setups.test_setup import place_named

LAMP: dict[str, Any] = {"name": "A", "size_cm": [20, 14], "at_cm": [0, -40, 60], "aim_cm": [0, 0, 10]}


def ball_under_a_brim() -> Subject:
    """Return a head of 4 cm radius, 10 cm up, under a wide disc just above it."""
    head, brim = trimesh.creation.icosphere(subdivisions=4, radius=4), trimesh.creation.cylinder(radius=9, height=0.4)
    head.apply_translation([0, 0, 10])
    brim.apply_translation([0, 0, 15])
    parts = [("foot", *_box()), ("head", head.vertices, head.faces), ("brim", brim.vertices, brim.faces)]
    return subject_from_parts("hat", parts)


def _box() -> tuple[Any, Any]:
    foot = trimesh.creation.box((2, 2, 6))
    foot.apply_translation([0, 0, 3])
    return foot.vertices, foot.faces


def lit(subject: Subject | None, lamp: dict[str, Any] = LAMP, **keys: Any) -> PlacedSetup:
    declared = {"lamps": [lamp], **({"subject": {"mesh": "x", "hero": "head"}} if subject else {}), **keys}
    return place(AS_PLACED, fill_model(declared, Arrangement, "test"), subject)


@pytest.mark.parametrize("name", ["figure", "aircraft", "ship", "bust"])
def test_each_receptor_is_on_the_line_from_the_hero_and_faces_what_it_meters(name: str) -> None:
    placed = place_named(name, "three-point")
    hero = np.asarray(placed.hero_cm)
    receptors = receptors_of(placed)
    assert len(receptors) == len(placed.lamps) + 1
    centres = [*(lamp.place.at_cm for lamp in placed.lamps), placed.view.at_cm]
    for receptor, centre in zip(receptors, centres, strict=True):
        line = (centre - hero) / np.linalg.norm(centre - hero)
        np.testing.assert_allclose(receptor.axes[:, 2], line, atol=1e-12)
        np.testing.assert_allclose(np.cross(100 * receptor.at - hero, line), 0, atol=1e-9)
        assert 0 <= (100 * receptor.at - hero) @ line < np.linalg.norm(centre - hero)
        assert receptor.half == (0, 0)


def test_a_receptor_is_where_the_line_leaves_a_ball() -> None:
    ball = trimesh.creation.icosphere(subdivisions=6, radius=4)
    ball.apply_translation([0, 0, 4])
    placed = lit(subject_from_parts("ball", [("head", ball.vertices, ball.faces)]))
    assert np.linalg.norm(100 * receptors_of(placed)[0].at - placed.hero_cm) == pytest.approx(4, rel=2e-3)


def test_the_outermost_surface_counts_and_none_behind_the_lamp() -> None:
    hat = ball_under_a_brim()
    origin, up = (0.0, 0.0, 10.0), (0.0, 0.0, 1.0)
    assert exit_cm(hat, origin, up, 50.0) == pytest.approx(5.2, abs=1e-4)  # the brim's upper face
    assert exit_cm(hat, origin, up, 4.5) == pytest.approx(4.0, rel=2e-3)  # a lamp between head and brim
    assert exit_cm(hat, (0.0, 0.0, 30.0), up, 50.0) == 0.0
    assert exit_cm(None, origin, up, 50.0) == 0.0


def test_without_a_model_the_receptor_is_at_the_centre_mark() -> None:
    receptor = receptor_facing((0, -30, 40), lit(None))
    np.testing.assert_allclose(receptor.at, 0)
    np.testing.assert_allclose(receptor.axes[:, 2], (0, -0.6, 0.8))


def test_the_bare_table_is_the_same_for_any_paint_size_and_part_and_keeps_the_cards() -> None:
    card = {"name": "bounce", "size_cm": [20, 20], "at_cm": [20, 0, 12], "facing": [-1, 0, 0]}
    placed = lit(ball_under_a_brim(), cards=[card])
    one = setup_geometry(placed, finishes(topcoat="gloss"), 60, 80)
    other = setup_geometry(placed, finishes(parts=[{"match": "*", "base": "#102010"}]), 480, 640)
    assert one.fingerprint != other.fingerprint
    assert bare_geometry(one).fingerprint == bare_geometry(other).fingerprint
    assert [surface.kind for surface in bare_geometry(one).surfaces] == ["backdrop", "card"]
