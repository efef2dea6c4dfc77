"""The optical surface of a part: its finish, the colour map of its mesh, a wash, the topcoat."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from materials.colour.upsampling import reflectance_from_hex
from materials.surface.finish import Finish
from materials.surface.glossmeter import roughness_from_gloss
from materials.surface.metals import metal_dip, metal_reflectance
from materials.surface.saunderson import coated_reflectance
from render.description.surface_finish import BARE_COLOUR, BARE_GLOSS, METAL_ROUGHNESS, surface_finish
from scenes.mesh.colour_map import ColourMap
from scenes.subject.subject import Part
from tests.support.arrangements import finishes

TRIANGLE = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0]], np.float32)
FACES = np.array([[0, 1, 2]], np.int32)
RED = ColourMap(np.broadcast_to(np.array([0.5, 0.1, 0.1], np.float32), (1, 3, 3)))


def part(colour: str | None = None, colour_map: ColourMap | None = None, recess: float | None = None) -> Part:
    depth = None if recess is None else np.full((1, 3), recess, np.float32)
    return Part("helmet", TRIANGLE, np.ones_like(TRIANGLE), FACES, colour, colour_map, depth)


GREY, BLUE = reflectance_from_hex(BARE_COLOUR), reflectance_from_hex("#2040a0")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({}, Finish.plastic(GREY, BARE_GLOSS)),
        ({"parts": [{"base": "#2040a0"}]}, Finish.plastic(BLUE, BARE_GLOSS)),
        ({"parts": [{"gloss": 70}]}, Finish.plastic(GREY, 70)),
        ({"parts": [{"roughness": 0.3}]}, Finish("plastic", GREY, 0.3)),
        ({"parts": [{"metal": True}]}, Finish.metal(GREY, METAL_ROUGHNESS)),
        ({"parts": [{"metal": True, "roughness": 0.1, "base": "#2040a0"}]}, Finish.metal(BLUE, 0.1)),
        ({"parts": [{"match": "boots", "gloss": 70}]}, Finish.plastic(GREY, BARE_GLOSS)),
        ({"parts": [{"match": "HELM*", "gloss": 70}]}, Finish.plastic(GREY, 70)),
        ({"parts": [{"gloss": 70}, {"match": "helmet", "gloss": 5}]}, Finish.plastic(GREY, 5)),
        ({"parts": [{"match": "helmet", "gloss": 5}, {"gloss": 70}]}, Finish.plastic(GREY, 70)),
        ({"parts": [{"gloss": 70}], "topcoat": 5}, Finish.plastic(GREY, 70).under_topcoat(5)),
        ({"parts": [{"gloss": 70}], "topcoat": 5, "no_topcoat": ["helm*"]}, Finish.plastic(GREY, 70)),
        ({"parts": [{"gloss": 70}], "topcoat": 5, "no_topcoat": ["window"]}, Finish.plastic(GREY, 70).under_topcoat(5)),
        ({"parts": [{"gloss": 70}], "topcoat": 5, "no_topcoat": ["window", "HELMET"]}, Finish.plastic(GREY, 70)),
        ({"parts": [{"metal": True, "roughness": 0.01}], "topcoat": 5}, Finish.metal(GREY, 0.01).under_topcoat(5)),
        (
            {"parts": [{"metal": "gold"}]},
            Finish.metal(metal_reflectance("gold"), METAL_ROUGHNESS, metal_dip("gold")),
        ),
        ({"parts": [{"metal": "gold", "base": "#2040a0", "roughness": 0.1}]}, Finish.metal(BLUE, 0.1)),
        (
            {"parts": [{"metal": "gold"}], "topcoat": 5},
            Finish.metal(metal_reflectance("gold", 1.5), METAL_ROUGHNESS).under_topcoat(5),
        ),
        ({"parts": [{"primer": True}]}, Finish.board(GREY)),
        (
            {"parts": [{"primer": True}], "topcoat": 5},
            Finish("plastic", coated_reflectance(GREY), roughness_from_gloss(5.0)),
        ),
        ({"parts": [{"paint": "metallic"}]}, Finish.flake_paint(GREY, BARE_GLOSS, 0.8, 0.35)),
        ({"parts": [{"paint": "pearl", "gloss": 80}]}, Finish.flake_paint(GREY, 80, 0.3, 0.3)),
        ({"parts": [{"paint": "candy", "roughness": 0.1}]}, Finish.flake_paint(GREY, BARE_GLOSS, 0.9, 0.1)),
        ({"parts": [{"clear": True, "base": "#2040a0"}]}, Finish.clear(BLUE, 1.59)),
        ({"parts": [{"clear": True}]}, Finish.clear(0.89, 1.59)),
    ],
)
def test_the_last_part_that_matches_says_and_a_topcoat_covers_what_is_not_masked(
    said: dict[str, Any], expected: Finish
) -> None:
    assert surface_finish(part(), finishes(**said)).finish == expected


def test_a_stated_base_wins_over_the_colour_in_the_mesh_and_that_over_bare_plastic() -> None:
    assert surface_finish(part("#2040a0"), finishes()).finish == Finish.plastic(BLUE, BARE_GLOSS)
    stated = finishes(parts=[{"base": BARE_COLOUR}])
    assert surface_finish(part("#2040a0"), stated).finish == Finish.plastic(GREY, BARE_GLOSS)


def test_the_files_own_paint_stands_in_for_the_base_unless_a_base_is_stated() -> None:
    assert surface_finish(part(colour_map=RED), finishes(topcoat=5)).colour_map is RED
    for said in ({"base": "#2040a0"}, {"metal": "gold"}, {"clear": True}):
        assert surface_finish(part(colour_map=RED), finishes(parts=[said])).colour_map is None
    assert surface_finish(part(colour_map=RED), finishes(parts=[{"gloss": 70}])).colour_map is RED


def test_a_plinth_has_the_finish_that_it_is_declared_with_and_no_topcoat() -> None:
    plinth = Part("plinth", TRIANGLE, np.ones_like(TRIANGLE), FACES)
    finished = surface_finish(plinth, finishes(plinth={"base": "#2040a0", "gloss": 60}, topcoat=5))
    assert finished.finish == Finish.plastic(BLUE, 60)


def test_a_wash_covers_recesses_by_its_strength_where_it_is_put() -> None:
    wash = surface_finish(part(recess=0.5), finishes(wash={"strength": 0.6, "colour": "#2040a0"})).wash
    assert wash is not None
    np.testing.assert_allclose(wash.coverage, 0.3)
    assert wash.finish == Finish.board(BLUE)
    assert surface_finish(part(recess=0.5), finishes()).wash is None
    assert surface_finish(part(), finishes(wash={})).wash is None
    assert surface_finish(part(recess=0.5), finishes(wash={"match": ["boots"]})).wash is None
