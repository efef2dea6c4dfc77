"""What a lamp sends straight to a point."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import ArrayLike
from scipy.interpolate import RegularGridInterpolator

from materials.arrays import Array
from scenes.geometry import axes_facing, unit
from scenes.lamps.direct_light import direct_factor, on_axis_factor
from scenes.lamps.emitter_shape import EmitterShape

Kind = Literal["panel", "disc", "ring", "bulb"]
Triple = tuple[float, float, float]

HALVES: dict[Kind, tuple[float, float]] = {
    "panel": (1.0, 0.7),
    "disc": (1.0, 1.0),
    "ring": (1.0, 0.6),
    "bulb": (0.3, 0.3),
}
FLAT: tuple[Kind, ...] = ("panel", "disc", "ring")
KINDS: tuple[Kind, ...] = (*FLAT, "bulb")
COSINE = np.maximum(np.cos(np.radians(np.linspace(0, 180, 361))), 0.0)[:, None]
LOPSIDED = np.random.default_rng(3).uniform(0.2, 1.0, (19, 13))
LOPSIDED[:, -1], LOPSIDED[0], LOPSIDED[-1] = LOPSIDED[:, 0], 0.9, 0.4
BEAM = np.interp(np.linspace(0, 180, 361), [0, 10, 30, 32, 180], [1, 1, 0.3, 0, 0])[:, None]

coordinate = st.floats(-4, 4, allow_subnormal=False)
before = st.tuples(coordinate, coordinate, st.floats(0.05, 4))
outside = st.tuples(coordinate, coordinate, coordinate).filter(lambda v: np.linalg.norm(v) > 0.31)
directions = st.tuples(coordinate, coordinate, coordinate).filter(lambda v: np.linalg.norm(v) > 1e-2)
tables = st.sampled_from([None, LOPSIDED, BEAM])


def face(kind: Kind, table: Array | None = None) -> EmitterShape:
    """Return a lamp at the origin that faces +z."""
    return EmitterShape(kind, np.zeros(3), np.eye(3), HALVES[kind], table)


def factor(lamp: EmitterShape, at: ArrayLike, facing: ArrayLike) -> float:
    """Return the factor at one point."""
    return float(direct_factor(lamp, np.asarray(at, float)[None], unit(facing)[None])[0])


def looked_up(table: Array, way: Array) -> Array:
    """Return what a table says of directions (m, 3), by scipy's bilinear lookup."""
    rows, columns = table.shape
    wide = np.repeat(table, 2, axis=1) if columns == 1 else table
    polar = np.degrees(np.arccos(np.clip(way[:, 2], -1, 1)))
    turn = np.degrees(np.arctan2(way[:, 1], way[:, 0])) % 360.0
    grid = (np.linspace(0, 180, rows), np.linspace(0, 360, wide.shape[1]))
    return np.asarray(RegularGridInterpolator(grid, wide)(np.column_stack([polar, turn])))


def summed(lamp: EmitterShape, table: Array, at: ArrayLike, facing: ArrayLike, count: int = 1000) -> float:
    """Return the light of a lamp at the origin as a plain sum over count^2 bits of its face of i cos / r2 dA."""
    middle = (np.arange(count) + 0.5) / count
    u, v = np.stack(np.meshgrid(middle, middle), axis=-1).reshape(-1, 2).T
    a, b = lamp.half
    turn = 2 * np.pi * v
    if lamp.kind == "panel":
        spots, area = np.column_stack([a * (2 * u - 1), b * (2 * v - 1), 0 * u]), 4 * a * b
    elif lamp.kind == "bulb":
        flat = np.sqrt(1 - (2 * u - 1) ** 2)
        spots, area = a * np.column_stack([flat * np.cos(turn), flat * np.sin(turn), 2 * u - 1]), 4 * np.pi * a * a
    else:
        inner = b if lamp.kind == "ring" else 0.0
        radius = np.sqrt(inner**2 + u * (a * a - inner**2))
        spots, area = np.column_stack([radius * np.cos(turn), radius * np.sin(turn), 0 * u]), np.pi * (a * a - inner**2)
    ray = np.asarray(at, float) - spots
    distance = np.linalg.norm(ray, axis=1)
    ray /= distance[:, None]
    leaving = np.maximum((ray * spots).sum(axis=1) / a, 0.0) if lamp.kind == "bulb" else np.ones(len(ray))
    arriving = np.maximum(-ray @ unit(facing), 0.0)
    return float((looked_up(table, ray) * leaving * arriving / distance**2).mean() * area)


@given(before, directions, st.floats(-0.9, 0.9), st.booleans())
def test_a_panel_cut_in_two_sends_what_both_halves_send(at: Triple, facing: Triple, cut: float, wide: bool) -> None:
    whole = face("panel")
    i = 0 if wide else 1
    parts = []
    for low, high in ((-1.0, cut), (cut, 1.0)):
        middle, half = np.zeros(3), list(whole.half)
        middle[i], half[i] = whole.half[i] * (low + high) / 2, whole.half[i] * (high - low) / 2
        parts.append(factor(replace(whole, at=middle, half=(half[0], half[1])), at, facing))
    assert sum(parts) == pytest.approx(factor(whole, at, facing), rel=1e-9, abs=1e-14)


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(KINDS), tables, before.filter(lambda v: np.linalg.norm(v) > 0.31), directions, directions)
def test_turning_and_moving_lamp_and_receiver_together_changes_nothing(
    kind: Kind, table: Array | None, at: Triple, facing: Triple, way: Triple
) -> None:
    lamp, axes, moved = face(kind, table), axes_facing(way), np.array([3.0, -7.0, 11.0])
    there = replace(lamp, at=moved, axes=axes)
    got = factor(there, axes @ np.asarray(at) + moved, axes @ np.asarray(facing))
    # where a circle's corners lie, and where the quadrature splits, depends on rounding
    assert got == pytest.approx(factor(lamp, at, facing), rel=1e-5, abs=1e-9)


@given(st.sampled_from(KINDS), before.filter(lambda v: np.linalg.norm(v) > 0.31), directions, directions)
def test_what_one_side_gets_more_than_the_other_is_linear_in_the_normal(
    kind: Kind, at: Triple, facing: Triple, way: Triple
) -> None:
    """Net flux is a vector field (Gershun, The Light Field, 1936), whatever the horizons cut off."""
    normals = np.vstack([axes_facing(way).T, unit(facing)])
    points = np.tile(at, (4, 1))
    net = direct_factor(face(kind), points, normals) - direct_factor(face(kind), points, -normals)
    assert net[3] == pytest.approx(net[:3] @ (normals[:3] @ normals[3]), abs=1e-7)


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(KINDS), before.filter(lambda v: np.linalg.norm(v) > 0.31), directions)
@example("panel", (0.0, 0.0, 0.05), (1.0, 0.0, 0.0))
@example("ring", (0.0, 0.0, 0.05), (0.0, 0.0, -1.0))
@example("bulb", (0.0, 0.0, 0.3001), (1.0, 0.0, 0.0))
def test_a_table_of_an_even_face_sends_what_no_table_sends(kind: Kind, at: Triple, facing: Triple) -> None:
    table = np.ones((19, 1)) if kind == "bulb" else COSINE
    expected = factor(face(kind), at, facing)
    assert factor(face(kind, table), at, facing) == pytest.approx(expected, rel=1e-4, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["lopsided", "beam"])
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("at", "facing"),
    [((0.0, 0.0, 1.5), (0, 0, -1)), ((0.4, -0.9, 0.6), (0.3, 1, -0.4)), ((-0.3, 0.2, 2.0), (1, 0, -0.1))],
)
def test_a_table_sends_what_a_plain_sum_over_the_face_says(kind: Kind, name: str, at: Triple, facing: Triple) -> None:
    table = LOPSIDED if name == "lopsided" else BEAM
    expected = summed(face(kind), table, at, facing)
    assert factor(face(kind, table), at, facing) == pytest.approx(expected, rel=2e-4, abs=1e-7)


@settings(deadline=None)
@given(st.sampled_from(KINDS), outside.filter(lambda v: v[2] > 0.05))
def test_from_far_a_lamp_shines_by_its_table_over_the_square_of_the_distance(kind: Kind, way: Triple) -> None:
    distance, (a, b) = 1e5, HALVES[kind]
    area = {"panel": 4 * a * b, "disc": np.pi * a * a, "ring": np.pi * (a * a - b * b), "bulb": np.pi * a * a}[kind]
    there = distance * unit(way)
    expected = looked_up(LOPSIDED, unit(way)[None])[0]
    got = factor(face(kind, LOPSIDED), there, -there) * distance**2 / area
    assert got == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize("power", [0.0, 0.5, 1.0, 3.0, 20.0])
@pytest.mark.parametrize("distance", [0.02, 0.3, 2.0])
def test_a_disc_of_cosine_power_sends_its_closed_form_on_axis(power: float, distance: float) -> None:
    """The integral of 2 pi rho cos^(power + 1) / r2 over the radius is 2 pi (1 - c^(power + 1)) / (power + 1)."""
    table = np.maximum(np.cos(np.radians(np.linspace(0, 180, 1801))), 0.0)[:, None] ** power
    edge = distance / np.hypot(distance, 1.0)
    expected = 2 * np.pi * (1 - edge ** (power + 1)) / (power + 1)
    assert on_axis_factor(face("disc", table), distance) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(
    ("kind", "facing"), [("panel", (1, 0, 0.999)), ("disc", (3, 4, 4.995)), ("ring", (3, 4, 4.995))]
)
def test_a_sliver_above_the_horizon_is_not_missed(kind: Kind, facing: Triple) -> None:
    """The last thousandth of a face, which the receiver sees past its horizon."""
    expected = factor(face(kind), (0, 0, 1), facing)
    assert factor(face(kind, COSINE), (0, 0, 1), facing) == pytest.approx(expected, rel=1e-4, abs=0)


@pytest.mark.parametrize("kind", ["panel", "disc"])
@pytest.mark.parametrize("at", [(0.37, -0.21, 0.5), (-0.6, 0.3, 0.3), (0.0, 0.0, 1.1), (0.123, 0.456, 0.02)])
def test_a_narrow_beam_from_a_near_face_is_not_missed(kind: Kind, at: Triple) -> None:
    """A receiver that faces a face wider than its beam gets the beam's whole flux, wherever it is beneath."""
    polar = np.radians(np.linspace(0, 180, 361))
    beam = np.interp(np.degrees(polar), [0, 1, 3, 180], [1, 1, 0, 0])
    fine = np.linspace(0, np.radians(3), 100_001)
    flux = 2 * np.pi * np.trapezoid(np.interp(fine, polar, beam) * np.sin(fine), fine)
    assert factor(face(kind, beam[:, None]), at, (0, 0, -1)) == pytest.approx(flux, rel=5e-4)


@pytest.mark.parametrize("lengths", [(0.1, 1.0, 0.2), (1.0, 0.05, 0.4)])
def test_two_panels_send_each_other_the_same(lengths: Triple) -> None:
    """A1 F12 = A2 F21, by Gauss quadrature over the receiver."""
    x, w = np.polynomial.legendre.leggauss(24)
    grid, weights = np.stack(np.meshgrid(x, x), axis=-1).reshape(-1, 2), np.outer(w, w).ravel()
    one = EmitterShape("panel", np.zeros(3), np.eye(3), (lengths[0], lengths[1]))
    two = EmitterShape("panel", np.array([0.6, -0.4, 1.1]), axes_facing((-0.5, 0.6, -1.0)), (lengths[2], 0.3))

    def sent(lamp: EmitterShape, board: EmitterShape) -> float:
        points = board.at + (grid * board.half) @ board.axes[:, :2].T
        return float(weights @ direct_factor(lamp, points, board.axes[:, 2])) * board.half[0] * board.half[1]

    assert sent(one, two) == pytest.approx(sent(two, one), rel=1e-6)


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(KINDS), tables, outside, directions)
def test_light_is_a_number_and_never_negative(kind: Kind, table: Array | None, at: Triple, facing: Triple) -> None:
    got = factor(face(kind, table), at, facing)
    assert 0.0 <= got < np.inf


@given(st.sampled_from(FLAT), tables, before, directions)
@example("panel", None, (0.5, 0.5, 0.0), (0.0, 0.0, -1.0))
@example("disc", None, (3.0, 0.0, 0.0), (-1.0, 0.0, 0.0))
def test_nothing_is_sent_to_what_lies_behind_a_face_or_in_its_plane(
    kind: Kind, table: Array | None, at: Triple, facing: Triple
) -> None:
    assert factor(face(kind, table), (at[0], at[1], -at[2]), facing) == 0.0


@given(st.sampled_from(KINDS), before.filter(lambda v: np.linalg.norm(v) > 0.31))
def test_nothing_is_sent_to_a_receiver_whose_back_is_turned(kind: Kind, at: Triple) -> None:
    facing = at if kind == "bulb" else (0.0, 0.0, 1.0)
    assert factor(face(kind), at, facing) == 0.0


@given(st.floats(0.05, 0.95), before, directions)
def test_a_ring_and_the_disc_in_its_hole_send_what_the_whole_disc_sends(
    inner: float, at: Triple, facing: Triple
) -> None:
    ring = EmitterShape("ring", np.zeros(3), np.eye(3), (1.0, inner))
    hole = EmitterShape("disc", np.zeros(3), np.eye(3), (inner, inner))
    both = factor(ring, at, facing) + factor(hole, at, facing)
    assert both == pytest.approx(factor(face("disc"), at, facing), rel=1e-9, abs=1e-12)


def test_many_points_get_what_each_gets_alone() -> None:
    rng = np.random.default_rng(5)
    points, normals = rng.uniform(0.4, 2.0, (70, 3)), rng.normal(size=(70, 3))
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    alone = [factor(face("ring", LOPSIDED), p, n) for p, n in zip(points, normals, strict=True)]
    np.testing.assert_allclose(direct_factor(face("ring", LOPSIDED), points, normals), alone, rtol=1e-12)


@pytest.mark.parametrize("table", [None, LOPSIDED])
def test_a_point_inside_a_bulb_is_refused(table: Array | None) -> None:
    with pytest.raises(ValueError, match="inside the bulb of radius"):
        direct_factor(face("bulb", table), [[0.0, 0.1, 0.2]], [[0.0, 0.0, 1.0]])


@pytest.mark.parametrize(
    ("kind", "half", "table", "words"),
    [
        ("tube", (1.0, 1.0), None, "not 'tube'"),
        ("panel", (1.0, 0.0), None, "makes no panel"),
        ("ring", (1.0, 1.0), None, "makes no ring"),
        ("disc", (np.nan, 1.0), None, "makes no disc"),
        ("disc", (1.0, 1.0), np.ones(5), "table of intensity"),
        ("disc", (1.0, 1.0), np.ones((1, 5)), "table of intensity"),
        ("disc", (1.0, 1.0), np.array([[1.0], [-1.0]]), "table of intensity"),
    ],
)
def test_what_makes_no_face_is_refused(kind: Kind, half: tuple[float, float], table: Array | None, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        EmitterShape(kind, np.zeros(3), np.eye(3), half, table)
