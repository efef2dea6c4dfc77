"""What a finish does to a stated base it does to colours from points and pictures: wetted, metallic, in glossmeters."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from materials.arrays import Array
from materials.colour.srgb import hex_colour, linear_srgb_under_d65, srgb_decode, srgb_encode
from render.description.scene import Camera, Geometry, Surface, part_surface
from render.description.surface_finish import surface_finish
from render.kernel.features import Features
from render.kernel.trace import Tracer
from scenes.arrangement.subject_model import PartFinish
from scenes.lamps.emitter_shape import ROOM
from scenes.mesh.colour_map import ColourMap
from scenes.subject.part_finishes import PartFinishes, PartRule
from scenes.subject.subject import Part
from tests.support.reflectances.pictures import picture_reflectance
from tests.support.report import relative, report

BYTES = (181, 92, 31)
LINEAR = srgb_decode(np.array(BYTES) / 255)
(SPECTRUM,) = picture_reflectance(LINEAR[None])
CORNERS = np.array([[-50, -50, 0], [50, -50, 0], [50, 50, 0], [-50, 50, 0]], np.float32)
FACES = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
UP = np.broadcast_to(np.array([0, 0, 1], np.float32), (4, 3))
UV = (CORNERS[FACES][..., :2] / 100 + 0.5).astype(np.float32)
MAPS = {
    "points": ColourMap(np.broadcast_to(LINEAR.astype(np.float32), (2, 3, 3))),
    "picture": ColourMap(UV, np.broadcast_to(np.array(BYTES, np.uint8), (8, 8, 3))),
}
TOPCOATS = (None, 5.0, 85.0)
SAME = "the same colour as a stated base"


def part(colour_map: ColourMap | None) -> Part:
    return Part("plate", CORNERS, UP, FACES, colour_map=colour_map)


def surface(colour_map: ColourMap | None, topcoat: float | None, **declared: Any) -> Surface:
    """Return a plate of 1 m in a finish, its colour from a map or, without one, a base of the same spectrum."""
    base = None if colour_map is not None else SPECTRUM
    rule = PartRule(PartFinish(match="*", **declared), base)
    plate = part(colour_map)
    return replace(part_surface(plate), **vars(surface_finish(plate, PartFinishes((rule,), topcoat))))


def traced(plate: Surface) -> tuple[Array, Features]:
    """Return what a plate sends of an even surround to a camera straight above, by band, and its feature images."""
    camera = Camera(np.array([0.0, 0.0, 1.0]), np.diag([1.0, -1.0, -1.0]), 0.1, 8, 8)
    tracer = Tracer(Geometry((plate,), camera))
    return tracer.images([ROOM], 0, count=16)[0].mean(axis=(1, 2)), tracer.features


@pytest.mark.parametrize("topcoat", TOPCOATS)
@pytest.mark.parametrize("source", MAPS)
def test_primer_on_the_files_colours_is_primer_on_the_same_base(source: str, topcoat: float | None) -> None:
    got, features = traced(surface(MAPS[source], topcoat, primer=True))
    expected, plain = traced(surface(None, topcoat, primer=True))
    name = f"primer from {source} under {topcoat or 'no'} topcoat, worst band over base"
    worst = int(np.argmax(np.abs(got / expected - 1)))
    report(name, SAME, 1.0, float(got[worst] / expected[worst]), relative(0.01))
    np.testing.assert_allclose(features.albedo, plain.albedo, atol=0.01)


@pytest.mark.parametrize("source", MAPS)
def test_a_coat_wets_primer_and_nothing_else(source: str) -> None:
    """Saunderson takes most of a stop from a primer's colours; paint keeps its own."""
    primer, paint = (
        traced(surface(MAPS[source], 5.0, **declared))[1].albedo.mean() for declared in ({"primer": True}, {})
    )
    assert primer < 0.6 * paint
    np.testing.assert_allclose(paint, LINEAR.mean(), atol=2e-3)


@pytest.mark.parametrize("source", MAPS)
def test_metal_in_the_files_colours_is_metal_of_the_same_base(source: str) -> None:
    got, expected = (traced(surface(colours, None, metal=True, roughness=0.8))[0] for colours in (MAPS[source], None))
    np.testing.assert_allclose(got, expected, rtol=0.01)


def test_paint_in_the_files_colours_reads_the_gloss_of_paint_on_the_same_base() -> None:
    stated = surface(None, None, gloss=5.0).finish
    for colours in MAPS.values():
        assert surface(colours, None, gloss=5.0).finish.roughness == pytest.approx(stated.roughness, abs=1e-3)


def test_the_mean_of_a_map_is_its_colour() -> None:
    for colours in MAPS.values():
        assert colours.mean_colour == hex_colour(srgb_encode(linear_srgb_under_d65(SPECTRUM)))
