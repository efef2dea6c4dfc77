"""Light baked into the colours of a scan, taken out again.

The lights here are closed forms: a uniform half sphere of sky, whose light on a surface goes with (1 + cosine) / 2,
and a sun, whose light goes with the cosine (Lambert's law), each over some light from all round.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from materials.arrays import Vector
from materials.colour.srgb import LUMINANCE_WEIGHTS, srgb_decode, srgb_encode
from scenes.mesh.colour_map import ColourMap
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.relighting import fitted_light, flattened, harmonics
from scenes.subject.subject import Part, Subject

AT = np.array([0.3, -0.5, 0.8]) / np.linalg.norm([0.3, -0.5, 0.8])
(BALL,) = subject_from_parts("ball", [("ball", (b := trimesh.creation.icosphere(4)).vertices, b.faces)]).parts
PATCHES = np.where(np.sin(9 * BALL.normals).prod(axis=1) > 0, 0.6, 0.15)


def sky(normals: NDArray[np.float32]) -> Vector:
    return np.asarray(0.3 + 0.7 * (1 + normals @ AT) / 2)


def sun(normals: NDArray[np.float32]) -> Vector:
    return np.asarray(0.25 + 0.75 * np.maximum(normals @ AT, 0))


def painted(part: Part, luminance: Vector) -> Subject:
    """Return a subject with a luminance at each vertex, in a warm hue."""
    hue = np.array([1.0, 0.9, 0.8]) / (LUMINANCE_WEIGHTS @ [1.0, 0.9, 0.8])
    colours = (luminance[:, None] * hue).astype(np.float32)
    return Subject("ball", (replace(part, colour_map=ColourMap(colours[part.faces])),))


def luminance(subject: Subject) -> Vector:
    paint = subject.parts[0].colour_map
    assert paint is not None
    return np.asarray(paint.corners @ LUMINANCE_WEIGHTS)


def spread(values: Vector, albedo: Vector) -> float:
    """Return by how much values differ from an albedo but for one factor, as a standard deviation."""
    return float(np.exp(np.std(np.log(values / albedo))) - 1)


@pytest.mark.parametrize("albedo", [np.full(len(PATCHES), 0.3), PATCHES], ids=["plain", "patches"])
@pytest.mark.parametrize(("light", "before", "after"), [(sky, 0.3, 0.02), (sun, 0.6, 0.12)])
def test_a_ball_in_known_light_gets_its_own_colours_back(
    albedo: Vector, light: object, before: float, after: float
) -> None:
    assert callable(light)
    lit = painted(BALL, albedo * light(BALL.normals))
    flat = flattened(lit, 1.0)
    own = albedo[BALL.faces]
    assert spread(luminance(lit), own) > before
    assert spread(luminance(flat), own) < after
    assert luminance(flat).mean() == pytest.approx(luminance(lit).mean(), rel=0.01)


def test_half_of_it_takes_out_half_of_the_logarithm() -> None:
    lit = painted(BALL, 0.3 * sky(BALL.normals))
    half, whole = (np.log(luminance(flattened(lit, amount)) / luminance(lit)) for amount in (0.5, 1.0))
    np.testing.assert_allclose(half - half.mean(), (whole - whole.mean()) / 2, atol=1e-5)


def test_hue_and_saturation_stay() -> None:
    flat = flattened(painted(BALL, 0.3 * sky(BALL.normals)), 1.0).parts[0].colour_map
    assert flat is not None
    np.testing.assert_allclose(flat.corners, flat.corners[..., :1] * [1, 0.9, 0.8], rtol=1e-5)


def test_nothing_asked_for_or_nothing_painted_changes_nothing() -> None:
    lit = painted(BALL, PATCHES)
    assert flattened(lit, 0.0) is lit
    plain = Subject("ball", (BALL,))
    assert flattened(plain, 1.0) is plain


def test_colours_that_no_light_explains_stay_as_they_are() -> None:
    flat = flattened(painted(BALL, PATCHES), 1.0)
    assert spread(luminance(flat), PATCHES[BALL.faces]) < 0.02
    board = subject_from_parts("board", [("board", (b := trimesh.creation.box((9, 9, 0.01))).vertices, b.faces)])
    (part,) = board.parts
    two, flat_sides = np.where(part.vertices_cm[:, 0] > 0, 0.6, 0.2), np.abs(part.normals[part.faces[:, 0], 2]) > 0.5
    kept = luminance(flattened(painted(part, two), 1.0))
    assert spread(kept[flat_sides], two[part.faces][flat_sides]) < 0.02


def test_colours_brighter_than_white_are_clipped_and_told() -> None:
    spots = (np.random.default_rng(4).random(len(BALL.normals)) < 0.1) & (BALL.normals @ AT < 0)
    flat = flattened(painted(BALL, np.where(spots, 0.95, 0.4 * sun(BALL.normals))), 1.0)
    paint = flat.parts[0].colour_map
    assert paint is not None
    assert paint.corners.max() == 1.0
    told = float(
        flat.notes[1].removeprefix("flatten = 1 would make ").removesuffix(" % of its colours brighter than white")
    )
    assert told == pytest.approx(100 * spots[BALL.faces].mean(), abs=0.6)


def test_harmonics_are_orthogonal_and_of_unit_variance_over_all_ways() -> None:
    x, weights = np.polynomial.legendre.leggauss(8)
    turn = np.arange(16) * np.pi / 8
    z, phi = (grid.reshape(-1) for grid in np.meshgrid(x, turn, indexing="ij"))
    flat = np.sqrt(1 - z**2)
    values = harmonics(np.stack([flat * np.cos(phi), flat * np.sin(phi), z], axis=1))
    share = np.repeat(weights, 16) / 32
    np.testing.assert_allclose(values.T @ (values * share[:, None]), np.eye(8), atol=1e-12)
    np.testing.assert_allclose(share @ values, 0, atol=1e-12)


def test_the_fit_is_that_of_the_light_though_a_tenth_is_painted_black() -> None:
    light = np.array([0.2, -0.1, 0.3, 0.0, 0.05, 0.0, -0.05, 0.1])
    normals = BALL.normals.astype(float)
    logarithm = harmonics(normals) @ light
    logarithm[np.random.default_rng(5).random(len(logarithm)) < 0.1] -= 3.0
    np.testing.assert_allclose(fitted_light(normals, logarithm, np.ones(len(normals))), light, atol=0.02)


def test_a_picture_gets_its_own_colours_back_where_it_is_seen() -> None:
    size = 64
    ball = trimesh.creation.uv_sphere(count=[48, 96])
    (part,) = subject_from_parts("ball", [("ball", ball.vertices, ball.faces)]).parts
    corners = part.vertices_cm[part.faces].astype(float) - [0, 0, 1]
    u = np.arctan2(corners[..., 1], corners[..., 0]) / (2 * np.pi) % 1.0
    u += u < u.max(axis=1, keepdims=True) - 0.5
    pole = np.hypot(corners[..., 0], corners[..., 1]) < 1e-6
    u = np.where(pole, np.median(u, axis=1, keepdims=True), u)
    places = np.stack([u, np.arccos(-corners[..., 2].clip(-1, 1)) / np.pi], axis=-1).astype(np.float32)
    at_u, at_v = np.meshgrid((np.arange(size) + 0.5) / size, 1 - (np.arange(size) + 0.5) / size)
    flat, turn = np.sin(np.pi * at_v), 2 * np.pi * at_u
    normals = np.stack([flat * np.cos(turn), flat * np.sin(turn), -np.cos(np.pi * at_v)], axis=-1)
    checks = np.where((np.arange(size)[:, None] // 4 + np.arange(size) // 4) % 2, 0.6, 0.2)
    picture = np.rint(255 * srgb_encode((checks * sky(normals.astype(np.float32)))[..., None].repeat(3, 2))).astype(
        np.uint8
    )
    out = flattened(Subject("ball", (replace(part, colour_map=ColourMap(places, picture)),)), 1.0).parts[0].colour_map
    assert out is not None
    assert out.picture is not None
    assert out.corners is places
    assert spread(srgb_decode(picture / 255)[..., 0], checks) > 0.3
    assert spread(srgb_decode(out.picture / 255)[..., 0], checks) < 0.04
