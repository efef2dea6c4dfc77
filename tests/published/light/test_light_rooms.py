"""What meters read in rooms of boards, against CIE 171:2006 and conservation of light."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from materials.surface.finish import Finish
from render.description.scene import Surface
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import (
    BLACK,
    DOWN,
    UP,
    areas,
    board,
    bulb,
    check,
    disc,
    faces_of_room,
    meter,
    panel,
    read,
    room_of,
    tracer,
)
from tests.support.report import relative

LOW_LAMP = panel((1.2, 2.6, 1.1), (1, -2, -1), 0.30, 0.20)
BULB = bulb((1.2, 2.6, 1.1), 0.03)


def test_a_point_source_lights_the_floor_as_cie_171_case_5_2() -> None:
    source = "CIE 171:2006, test case 5.2, table 11"
    table = {
        (0, 0): 111.11, (0.5, 0): 105.21, (1, 0): 90.02, (1.5, 0): 71.11,
        (0.5, 0.5): 99.73, (1, 1): 74.36, (1.5, 1.5): 49.39,
    }  # fmt: skip
    lamp = disc((0, 0, 3), DOWN, 0.001)  # a three thousandth of its distance: a point within 1e-7
    meters = [meter((x, y, 0), UP) for x, y in table]
    got = read(tracer(), lamp, 1000 * np.pi, meters, samples=1 << 12, seed=1).direct
    for i, ((x, y), lux) in enumerate(table.items()):
        check(
            f"Lambertian disc r 1 mm at 3 m, floor ({x:g}, {y:g}), lx",
            source,
            lux,
            got[:, i],
            relative(0.005),
        )


def test_a_ceiling_panel_lights_a_black_room_as_cie_171_case_5_3() -> None:
    source = "CIE 171:2006, test case 5.3, table 12"
    wall = {2.75: 32.677, 2.25: 75.194, 1.75: 81.323, 1.25: 69.061, 0.75: 53.404, 0.25: 40.002}
    floor = {0.25: 61.424, 0.75: 79.255, 1.25: 95.667, 1.75: 105.778}
    lamp = panel((2, 2, 3), DOWN, 1, 1)
    meters = [meter((2, 0, z), (0, 1, 0)) for z in wall] + [meter((2, y, 0), UP) for y in floor]
    got = read(room_of(BLACK), lamp, 1000 * np.pi, meters, samples=1 << 19, seed=2)
    assert got.indirect.mean() < 1e-4 * got.direct.mean()
    places = [f"wall z={z:g}" for z in wall] + [f"floor y={y:g}" for y in floor]
    for i, (place, lux) in enumerate(zip(places, [*wall.values(), *floor.values()], strict=True)):
        check(
            f"ceiling panel in a box of black boards, {place}, lx",
            source,
            lux,
            got.total[:, i],
            relative(0.005),
        )


@pytest.mark.parametrize(("case", "lamp"), [("panel", LOW_LAMP), ("bulb", BULB)])
def test_a_closed_black_room_takes_every_lumen_as_cie_171_case_5_4(case: str, lamp: EmitterShape) -> None:
    faces = faces_of_room()
    got = read(room_of(BLACK), lamp, 10000, faces, samples=1 << 19, seed=3)
    assert got.indirect.mean() < 1e-4 * got.direct.mean()
    lumens = got.total @ areas(faces)
    check(f"closed black room, {case}, lm", "CIE 171:2006, test case 5.4", 10000, lumens, relative(0.005))


WALL_SHARES = {0.75: 35.901, 1.25: 27.992, 1.75: 21.639, 2.25: 16.716, 2.75: 12.967}
CEILING_SHARES = {0.25: 26.80, 0.75: 30.94, 1.25: 33.98, 1.75: 35.57}
CASE_5_6 = "CIE 171:2006, test case 5.6 scenario 2, table 17"


def test_an_even_floor_of_light_gives_the_walls_the_shares_of_cie_171_case_5_6() -> None:
    # the floor stands in as a panel of its exitance, E x .3 = 100 lm/m2
    lamp = panel((2, 2, 0), UP, 4, 4)
    meters = [meter((2, 0, z), (0, 1, 0)) for z in WALL_SHARES]
    meters += [meter((2, y, 3), DOWN) for y in CEILING_SHARES]
    got = read(tracer(), lamp, 100 * 16, meters, samples=1 << 22, seed=4).direct
    places = [f"wall z={z:g}" for z in WALL_SHARES] + [f"ceiling y={y:g}" for y in CEILING_SHARES]
    for i, (place, share) in enumerate(zip(places, [*WALL_SHARES.values(), *CEILING_SHARES.values()], strict=True)):
        check(f"floor as a panel, {place}, per cent", CASE_5_6, share, got[:, i], relative(0.005))


def test_a_lit_floor_gives_the_shares_of_cie_171_case_5_6() -> None:
    # a small panel 400 m up lights the floor evenly within 1e-4; with no ceiling to stand in its way
    lamp = panel((2, 2, 400), DOWN, 1, 1)
    floor_lux = 1000.0
    lumens = floor_lux * np.pi * 400**2
    floor, _, *walls = faces_of_room()
    box = tracer(board(floor, Finish.board(0.3)), *(board(wall, Finish.board(BLACK)) for wall in walls))
    meters = [meter((2, 0, 0.75), (0, 1, 0)), meter((2, 1.75, 3), DOWN)]
    got = read(box, lamp, lumens, meters, samples=1 << 20, seed=5).indirect / (floor_lux * 0.3) * 100
    check("lit floor, wall z=0.75, per cent", CASE_5_6, WALL_SHARES[0.75], got[:, 0], relative(0.005))
    check("lit floor, ceiling y=1.75, per cent", CASE_5_6, CEILING_SHARES[1.75], got[:, 1], relative(0.005))


@pytest.mark.parametrize(
    "reflectance", [pytest.param(0.3, marks=pytest.mark.slow), pytest.param(0.5, marks=pytest.mark.slow), 0.8]
)
def test_light_in_a_closed_box_is_conserved_as_cie_171_case_5_8(reflectance: float) -> None:
    source = "CIE 171:2006, test case 5.8, by conservation of flux"
    faces = faces_of_room()
    surface = areas(faces).sum()
    got = read(room_of(reflectance), BULB, 10000, faces, samples=1 << 17, seed=6)
    case = f"closed box of reflectance {reflectance}, mean"
    total = 10000 / (surface * (1 - reflectance))
    indirect = got.indirect @ areas(faces) / surface
    direct = got.direct @ areas(faces) / surface
    check(f"{case} indirect lx", source, reflectance * total, indirect, relative(0.005))
    check(f"{case} total lx", source, total, direct + indirect, relative(0.005))


def test_a_sphere_multiplies_its_light() -> None:
    ball = trimesh.creation.icosphere(subdivisions=5, radius=1.0)
    white = Surface(
        "sphere",
        "card",
        ball.vertices.astype(np.float32),
        None,
        ball.faces.astype(np.int32),
        Finish.board(0.8),
    )
    chosen = np.arange(0, len(ball.faces), len(ball.faces) // 8)
    meters = [meter(ball.triangles_center[i], -ball.face_normals[i]) for i in chosen]
    got = read(tracer(white), bulb((0, 0, 0), 0.02), 1000, meters, samples=1 << 14, seed=7)
    source = "sphere multiplier, rho / (1 - rho)"
    times = got.indirect.mean(axis=1) / got.direct.mean(axis=1)
    check("sphere of reflectance .8, indirect over direct", source, 4, times, relative(0.005))
