"""What a lamp sends straight to a point, in closed form, against published numbers."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
from numpy.typing import ArrayLike

from scenes.geometry import axes_facing, unit
from scenes.lamps.direct_light import direct_factor, on_axis_factor
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.report import absolute, relative, report

Triple = tuple[float, float, float]

B4 = "Howell, Catalog of Radiation Configuration Factors, B-4"
B12 = "Howell, Catalog of Radiation Configuration Factors, B-12"
OFF_AXIS = "Howell's catalogue, element to a disc in a parallel plane, off its axis (memory)"
TILTED = "Howell's catalogue, tilted element to a sphere; Gilmore, Spacecraft Thermal Control Handbook"
SQUARES = "view factors of unit squares, in closed form"
CIE_5_2, CIE_5_3 = "CIE 171:2006, test case 5.2, table 11", "CIE 171:2006, test case 5.3, table 12"
INVERSE_SQUARE, COSINE_LAW = "inverse square law", "Lambert's cosine law"
FIVE_TIMES = "five-times rule of the lighting handbooks"
UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)


def panel(at: ArrayLike, facing: ArrayLike, width: float, height: float) -> EmitterShape:
    """Return a Lambertian panel."""
    return EmitterShape("panel", np.asarray(at, float), axes_facing(facing), (width / 2, height / 2))


def at_origin(kind: Literal["disc", "ring", "bulb"], *half: float) -> EmitterShape:
    """Return a disc, ring or bulb at the origin that faces down."""
    return EmitterShape(kind, np.zeros(3), axes_facing(DOWN), (half[0], half[-1]))


def lux(lamp: EmitterShape, luminance: float, at: ArrayLike, facing: ArrayLike) -> float:
    """Return the lux at one point."""
    return luminance * float(direct_factor(lamp, np.asarray(at, float)[None], unit(facing)[None])[0])


PANEL, PANEL_CD_M2 = panel((0, 0, 0), DOWN, 0.30, 0.20), 1000 / (np.pi * 0.30 * 0.20)
DISC, DISC_CD_M2 = at_origin("disc", 0.10), 500 / (np.pi * np.pi * 0.10**2)
BULB, BULB_CD_M2 = at_origin("bulb", 0.030), 800 / (np.pi * 4 * np.pi * 0.030**2)


@pytest.mark.parametrize(
    ("distance", "expected"), [(0.10, 10584.41), (0.25, 3806.63), (0.50, 1172.404), (1.00, 311.573), (2.00, 79.149)]
)
def test_a_panel_gives_its_lux_on_axis(distance: float, expected: float) -> None:
    got = PANEL_CD_M2 * on_axis_factor(PANEL, distance)
    report(f"closed form, panel on axis at {distance:g} m, lx", B4, expected, got, relative(5e-6))


@pytest.mark.parametrize(("x", "y", "expected"), [(0.25, 0, 802.54), (0.5, 0, 332.51), (0.5, 0.5, 145.60)])
def test_a_panel_gives_its_lux_off_axis(x: float, y: float, expected: float) -> None:
    got = lux(PANEL, PANEL_CD_M2, (x, y, -0.5), UP)
    report(f"closed form, panel at .5 m off axis ({x:g}, {y:g}), lx", B4, expected, got, absolute(0.0051))


@pytest.mark.parametrize(
    ("case", "facing", "expected"), [("horizontal", UP, 844.579), ("normal to the beam", (0, -1, 1), 1194.414)]
)
def test_a_panel_aimed_down_at_45_degrees_gives_its_lux(case: str, facing: Triple, expected: float) -> None:
    got = lux(panel((0, -0.35, 0.35), (0, 1, -1), 0.30, 0.20), PANEL_CD_M2, (0, 0, 0), facing)
    report(f"closed form, panel at 45 degrees, {case}, lx", f"{B4}, and its cosine", expected, got, relative(5e-6))


@pytest.mark.parametrize(("distance", "expected"), [(0.1, 7957.75), (0.5, 612.134), (1.0, 157.579)])
def test_a_disc_gives_its_lux_on_axis(distance: float, expected: float) -> None:
    got = DISC_CD_M2 * on_axis_factor(DISC, distance)
    report(f"closed form, disc r .10 m, 500 lm, at {distance:g} m, lx", B12, expected, got, relative(3.5e-6))


@pytest.mark.parametrize("distance", [0.001, 0.05, 1.0, 20.0])
@pytest.mark.parametrize("offset", [0.5, 0.9, 2.0])
def test_a_disc_gives_its_factor_off_axis(distance: float, offset: float) -> None:
    h, r = distance / offset, 1 / offset
    z = 1 + h * h + r * r
    expected = np.pi / 2 * (1 - (z - 2 * r * r) / np.sqrt(z * z - 4 * r * r))
    got = lux(at_origin("disc", 1.0), 1.0, (offset, 0, -distance), UP)
    report(f"disc r 1, at {distance:g} beneath, {offset:g} off axis, E / L", OFF_AXIS, expected, got, relative(1e-7))


@pytest.mark.parametrize(("outer", "inner", "distance"), [(0.2, 0.15, 0.1), (0.2, 0.15, 1.0), (0.1, 0.01, 0.02)])
def test_a_ring_gives_its_outer_less_its_inner_disc_on_axis(outer: float, inner: float, distance: float) -> None:
    expected = np.pi * (1 / (1 + (distance / outer) ** 2) - 1 / (1 + (distance / inner) ** 2))
    got = on_axis_factor(at_origin("ring", outer, inner), distance)
    case = f"ring r {inner:g} to {outer:g} m at {distance:g} m, E / L"
    report(case, f"{B12}, outer less inner", expected, got, relative(1e-7))


def test_a_sphere_gives_its_lux() -> None:
    got = BULB_CD_M2 * on_axis_factor(BULB, 0.5)
    source = "flux / (4 pi d2), in closed form"
    report("closed form, sphere r .03 m, 800 lm, at .5 m, lx", source, 254.648, got, relative(2e-6))


@pytest.mark.parametrize("far", [1.001, 1.5, 5.0])
@pytest.mark.parametrize("height", [0.99, 0.5, 0.0, -0.5, -0.9])
def test_a_sphere_cut_by_the_horizon_gives_its_factor(far: float, height: float) -> None:
    """`height` is that of the centre above the horizon, in radii."""
    cosine, root = height / far, np.sqrt(far**2 - 1)
    sine = np.sqrt(1 - cosine**2)
    above = cosine * np.arccos(-root * cosine / sine) - root * np.sqrt(1 - height**2)
    expected = np.pi / 2 - np.arcsin(root / (far * sine)) + above / far**2
    got = lux(at_origin("bulb", 1.0), 1.0, (0, 0, -far), (sine, 0, cosine))
    case = f"sphere at {far:g} radii, centre {height:g} radii above the horizon, E / L"
    report(case, TILTED, expected, got, relative(1e-7))


def mean_over_square(lamp: EmitterShape, corner: Triple, along: Triple, up: Triple, facing: Triple) -> float:
    """Return the view factor to a lamp of a unit square, by Gauss quadrature that is finest at its edges."""
    x, w = np.polynomial.legendre.leggauss(48)
    t = (x + 1) / 2
    step, w = t * t * (3 - 2 * t), w / 2 * 6 * t * (1 - t)
    points = np.asarray(corner) + step[:, None, None] * np.asarray(along) + step[:, None] * np.asarray(up)
    weights = np.outer(w, w).ravel()
    return float(weights @ direct_factor(lamp, points.reshape(-1, 3), np.asarray(facing, float))) / np.pi


def test_unit_squares_have_their_view_factor_face_to_face() -> None:
    got = mean_over_square(panel((0.5, 0.5, 1), DOWN, 1, 1), (0, 0, 0), (1, 0, 0), (0, 1, 0), UP)
    report("unit squares face to face at 1, view factor", SQUARES, 0.19982490, got, absolute(5e-9))


def test_unit_squares_have_their_view_factor_sharing_an_edge() -> None:
    got = mean_over_square(panel((0.5, 0.5, 0), UP, 1, 1), (0, 0, 0), (1, 0, 0), (0, 0, 1), (0, 1, 0))
    report("unit squares sharing an edge at 90 degrees, view factor", SQUARES, 0.20004378, got, absolute(5e-9))


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        (0, 0, 111.11),
        (0.5, 0, 105.21),
        (1, 0, 90.02),
        (1.5, 0, 71.11),
        (0.5, 0.5, 99.73),
        (1, 1, 74.36),
        (1.5, 1.5, 49.39),
    ],
)
def test_a_lambertian_point_lamp_gives_the_lux_of_the_standard(x: float, y: float, expected: float) -> None:
    """The table's own numbers lie up to .023 % from 9000 / (9 + r2)^2, which is what such a lamp gives."""
    got = lux(panel((0, 0, 3), DOWN, 1e-3, 1e-3), 1000 / 1e-6, (x, y, 0), UP)
    case = f"closed form, 1000 cd at 3 m, floor ({x:g}, {y:g}), lx"
    report(case, CIE_5_2, expected, got, relative(0.0003))
    exact = 9000 / (9 + x * x + y * y) ** 2
    report(case, "9000 / (9 + r2)^2, of the same test case", exact, got, relative(1e-6))


WALL = [(2.75, 32.677), (2.25, 75.194), (1.75, 81.323), (1.25, 69.061), (0.75, 53.404), (0.25, 40.002)]
FLOOR = [(0.25, 61.424), (0.75, 79.255), (1.25, 95.667), (1.75, 105.778)]


@pytest.mark.parametrize(("z", "expected"), WALL)
def test_a_ceiling_panel_gives_a_wall_the_lux_of_the_standard(z: float, expected: float) -> None:
    got = lux(panel((2, 2, 3), DOWN, 1, 1), 1000, (2, 0, z), (0, 1, 0))
    report(f"closed form, 1 m2 ceiling panel, wall at {z:g} m, lx", CIE_5_3, expected, got, absolute(0.00051))


@pytest.mark.parametrize(("y", "expected"), FLOOR)
def test_a_ceiling_panel_gives_the_floor_the_lux_of_the_standard(y: float, expected: float) -> None:
    got = lux(panel((2, 2, 3), DOWN, 1, 1), 1000, (2, y, 0), UP)
    report(f"closed form, 1 m2 ceiling panel, floor at y {y:g} m, lx", CIE_5_3, expected, got, absolute(0.00051))


LAMPS = {
    "panel .30 x .20 m": (PANEL, 0.30, 0.30 * 0.20),
    "disc r .10 m": (DISC, 0.20, np.pi * 0.10**2),
    "sphere r .03 m": (BULB, 0.06, np.pi * 0.03**2),
}
"""Each with its size and the area that is seen from ahead."""


@pytest.mark.parametrize("case", LAMPS)
@pytest.mark.parametrize(("times", "bound"), [(5, 0.01), (10, 0.0025), (16, 0.001), (1000, 1e-6)])
def test_inverse_square_holds_far_from_a_lamp(case: str, times: float, bound: float) -> None:
    """A face falls short of it by a part that goes with the inverse square of the distance; a sphere never does."""
    lamp, size, area = LAMPS[case]
    share = on_axis_factor(lamp, times * size) * (times * size) ** 2 / area
    source = FIVE_TIMES if times == 5 else INVERSE_SQUARE
    report(f"{case} at {times:g} times its size, over inverse square", source, 1, share, absolute(bound))


def test_inverse_square_fails_nearer_than_five_times() -> None:
    share = on_axis_factor(DISC, 0.5) * 0.5**2 / (np.pi * 0.10**2)
    report("disc r .10 m at 2.5 times its size, over inverse square", B12, 25 / 26, share, relative(1e-9))


@pytest.mark.parametrize("tilt_deg", [15, 45, 75])
@pytest.mark.parametrize("case", LAMPS)
def test_a_receiver_that_turns_away_gets_the_cosine(case: str, tilt_deg: float) -> None:
    lamp, size, _ = LAMPS[case]
    a, distance = np.radians(tilt_deg), 10 * size
    got = lux(lamp, 1.0, (0, 0, -distance), (np.sin(a), 0, np.cos(a))) / on_axis_factor(lamp, distance)
    report(f"{case}, receiver turned by {tilt_deg} degrees", COSINE_LAW, float(np.cos(a)), got, relative(1e-9))


@pytest.mark.parametrize("polar_deg", [20, 40, 60])
@pytest.mark.parametrize("case", ["panel .30 x .20 m", "disc r .10 m"])
def test_a_flat_lamp_sends_the_cosine_aside(case: str, polar_deg: float) -> None:
    lamp, size, area = LAMPS[case]
    a, distance = np.radians(polar_deg), 25 * size
    way = np.array([np.sin(a), 0, -np.cos(a)])
    got = lux(lamp, 1.0, distance * way, -way) * distance**2 / area
    report(f"{case}, {polar_deg} degrees aside, over area / d2", COSINE_LAW, float(np.cos(a)), got, relative(0.001))
