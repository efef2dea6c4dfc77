"""Decals and cut-outs: surfaces let through what their opacity says, in shadows, in the picture and in features."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.arrays import Array
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Surface
from render.images.bands import RANGE_NM
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from scenes.mesh.opacity_map import OpacityMap
from tests.support.light import DOWN, UP, board, check, meter, panel, read, tracer
from tests.support.report import relative

WHITE, GREY = Finish.board(1.0), Finish.board(0.5)
LAMP = panel((0, 0, 20), DOWN, 0.5, 0.5)
FLOOR = board(meter((0, 0, 0), UP, 4, 4), GREY)
CORNERS = np.array([[[0, 0, 1], [1, 0, 1], [1, 1, 1]], [[0, 0, 1], [1, 1, 1], [0, 1, 1]]], np.float32)
"""Texture coordinates and factor of the two triangles of a board."""


def card(
    height: float,
    opacity: float | NDArray[np.uint8],
    finish: Finish = WHITE,
    size: float = 0.4,
    cutoff: float | None = None,
) -> Surface:
    """Return a level square card of one opacity, or with a picture of it."""
    surface = board(meter((0, 0, height), UP, size, size), finish)
    if isinstance(opacity, float):
        return replace(surface, opacity_map=OpacityMap.uniform(opacity, 2, cutoff))
    return replace(surface, opacity_map=OpacityMap(CORNERS, opacity, cutoff))


def disc_picture(pixels: int = 256, radius: float = 0.25) -> NDArray[np.uint8]:
    """Return the opacity of a card with a round hole, of a radius in sizes of the card."""
    x = (np.arange(pixels) + 0.5) / pixels - 0.5
    return np.where(np.hypot(x[:, None], x) < radius, 0, 255).astype(np.uint8)


def looking(up: bool, height: float, half_m: float, pixels: int) -> Camera:
    """Return a camera on the axis that looks straight up or down on a square of so many pixels at z = 0."""
    axes = np.diag([1.0, 1.0, 1.0]) if up else np.diag([1.0, -1.0, -1.0])
    return Camera(np.array([0.0, 0.0, height]), axes, half_m / abs(height), pixels, pixels)


def radiance(surfaces: list[Surface], lamp: EmitterShape, camera: Camera, passes: int = 32) -> Array:
    picture = Tracer(Geometry(tuple(surfaces), camera)).images([lamp], 0, count=passes)[0]
    return np.asarray(picture.astype(np.float64).sum(axis=0) / passes / (RANGE_NM[1] - RANGE_NM[0]))


@pytest.mark.parametrize("opacity", [0.25, 0.5])
def test_a_card_half_there_casts_half_a_shadow(opacity: float) -> None:
    """On a meter, directly; and on a board that a camera sees past the card."""
    black = Finish.board(0.0)
    under = [meter((0, 0, 0), UP)]
    bare = read(tracer(), LAMP, 1e6, under, samples=1 << 14, seed=1).total.mean()
    got = read(tracer(card(1.0, opacity, black)), LAMP, 1e6, under, samples=1 << 14, seed=1)
    check(
        f"lux under a card of opacity {opacity}", "closed form", bare * (1 - opacity), got.total[:, 0], relative(0.002)
    )
    assert (got.indirect == 0).all()  # what goes straight through is direct light
    camera = looking(up=False, height=0.5, half_m=0.02, pixels=8)
    shadow = radiance([FLOOR, card(1.0, opacity, black)], LAMP, camera).mean()
    light = radiance([FLOOR], LAMP, camera).mean()
    assert shadow / light == pytest.approx(1 - opacity, abs=0.002)


@pytest.mark.parametrize("finish", [WHITE, Finish.metal(1.0, 0.2), Finish.clear(1.0)])
def test_a_white_card_half_there_is_not_seen_in_an_even_surround(finish: Finish) -> None:
    surfaces = [card(0.5 + 0.02 * i, 0.5, finish, size=400.0) for i in range(2)]
    got = radiance(surfaces, ROOM, looking(up=True, height=-1.0, half_m=0.01, pixels=8), passes=64)
    check(f"two half cards in a surround, {finish.kind}", "conservation of light", 1.0, got, relative(0.005))


def test_a_cut_out_has_its_outline_in_the_picture_and_in_the_shadow() -> None:
    hole = card(0.2, disc_picture(), Finish.board(0.0), cutoff=0.5)
    x = (np.arange(64) + 0.5) / 64 * 0.4 - 0.2
    expected = np.hypot(x[:, None], x) < 0.1
    near_edge = np.abs(np.hypot(x[:, None], x) - 0.1) < 0.4 / 64
    through = radiance([hole], ROOM, looking(up=True, height=-0.8, half_m=0.2 * 0.8, pixels=64)) > 0.5
    assert (through == expected)[~near_edge].all()
    # a lamp far away: the shadow is as large as the card; the camera stands between card and floor
    lamp = panel((0, 0, 200), DOWN, 0.1, 0.1)
    lit = radiance([FLOOR, hole], lamp, looking(up=False, height=0.19, half_m=0.2, pixels=64))
    assert (lit > lit.max() / 2)[~near_edge].tolist() == expected[~near_edge].tolist()


@pytest.mark.slow
def test_many_leaves_pass_what_each_leaves_in_shadows_and_along_paths_alike() -> None:
    leaves = [card(0.3 + 0.01 * i, 0.1, Finish.board(0.0), size=40.0) for i in range(30)]
    camera = looking(up=False, height=0.2, half_m=0.01, pixels=8)
    bare, under = (radiance([FLOOR, *cards], LAMP, camera).mean() for cards in ([], leaves))
    assert under / bare == pytest.approx(0.9**30, rel=0.01)
    seen = radiance(leaves, ROOM, looking(up=True, height=-0.2, half_m=0.002, pixels=32), passes=64).mean()
    assert seen == pytest.approx(0.9**30, rel=0.02)


def test_an_opacity_of_1_changes_nothing() -> None:
    camera = looking(up=False, height=2.0, half_m=0.4, pixels=16)
    plain = board(meter((0, 0, 0.1), UP, 0.4, 0.4), GREY)
    whole = replace(plain, opacity_map=OpacityMap.uniform(1.0, 2))
    pictures = [radiance([FLOOR, surface], LAMP, camera, passes=1) for surface in (plain, whole)]
    np.testing.assert_allclose(pictures[0], pictures[1], rtol=1e-5)


@pytest.mark.parametrize("gap_mm", [0.003, 0.01, 0.1])
def test_a_decal_just_above_a_surface_shows_it_through_its_clear_places(gap_mm: float) -> None:
    """The left half clear, the right half black ink: seen aslant, in daylight from all round."""
    ink = np.repeat(np.array([[0, 255]], np.uint8), 2, axis=0).repeat(32, axis=0).repeat(32, axis=1)
    decal = card(gap_mm / 1000, ink, Finish.board(0.0), size=0.1)
    into = np.array([0.0, 0.9, -0.43589])
    axes = np.column_stack([[1.0, 0.0, 0.0], np.cross([1.0, 0.0, 0.0], into), into])
    camera = Camera(-0.5 * into, axes, 0.04, 32, 32)
    bare, covered = (radiance([FLOOR, *more], LAMP, camera, passes=2) for more in ([], [decal]))
    np.testing.assert_allclose(covered[:, :14], bare[:, :14], rtol=0.02)
    assert (covered[:, 18:] < 1e-3 * bare[:, 18:]).all()


def test_features_are_of_what_is_there() -> None:
    red = Finish("matt", np.linspace(0.0, 1.0, 351))
    geometry = Geometry((FLOOR, card(0.5, 0.25, red, size=4.0)), looking(up=False, height=2.0, half_m=0.1, pixels=64))
    floor, both = (
        Tracer(replace(geometry, surfaces=surfaces)).features for surfaces in (geometry.surfaces[:1], geometry.surfaces)
    )
    assert both.depth.mean() == pytest.approx(0.75 * 2.0 + 0.25 * 1.5, abs=0.01)
    pure = Tracer(replace(geometry, surfaces=(replace(geometry.surfaces[1], opacity_map=None),))).features
    expected = 0.75 * floor.albedo.mean(axis=(0, 1)) + 0.25 * pure.albedo.mean(axis=(0, 1))
    np.testing.assert_allclose(both.albedo.mean(axis=(0, 1)), expected, atol=0.01)


def test_a_hole_is_not_covered_by_the_subject() -> None:
    subject = replace(card(0.5, disc_picture(), cutoff=0.5), kind="subject")
    features = Tracer(Geometry((subject,), looking(up=False, height=1.5, half_m=0.15 * 1.5, pixels=64))).features
    assert features.subject[32, 32] == 0
    assert features.subject[32, 54] == 1
    assert features.subject.mean() == pytest.approx(1 - np.pi * 0.1**2 / 0.3**2, rel=0.01)


def test_a_topcoat_on_a_cut_out_leaves_its_holes() -> None:
    coated = card(0.5, disc_picture(), Finish.board(0.2).under_topcoat(85.0), cutoff=0.5)
    seen = radiance([coated], ROOM, looking(up=True, height=-0.5, half_m=0.02, pixels=8))
    np.testing.assert_allclose(seen, 1.0, rtol=1e-4)
