"""Every kind of lamp, even and with a table of intensity: its flux is all there, and its light straight to a point."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest

from materials.arrays import Vector
from materials.surface.finish import Finish
from render.description.lit_emitter import emitter_shape
from render.description.scene import Camera, Geometry
from render.images.bands import RANGE_NM
from render.kernel.trace import Tracer
from scenes.geometry import unit
from scenes.lamps.direct_light import direct_factor
from scenes.lamps.emitter_shape import EmitterShape
from scenes.setups.place import Place
from scenes.setups.placed import PlacedLamp
from tests.support.arrangements import lamp
from tests.support.light import BLACK, areas, board, check, faces_of_room, meter, read, room_of, tracer
from tests.support.report import relative, report

DATA: Final = Path(__file__).parents[2] / "data"
DOWNLIGHT: Final = "downlight.ies"
PANEL = {"kind": "panel", "size_cm": [30, 20]}
DISC = {"kind": "disc", "diameter_cm": 20}
RING = {"kind": "ring", "diameter_cm": 26, "hole_cm": 19}
BULB = {"kind": "bulb", "diameter_cm": 6}
LAMPS: Final[dict[str, dict[str, Any]]] = {
    "panel": PANEL,
    "disc": DISC,
    "ring": RING,
    "bulb": BULB,
    **{f"disc, beam of {beam} degrees": DISC | {"beam_deg": beam} for beam in (20, 60, 120)},
    "panel, beam of 60 degrees": PANEL | {"beam_deg": 60},
    "ring, beam of 60 degrees": RING | {"beam_deg": 60},
    "panel, grid of 40 degrees": PANEL | {"grid_deg": 40},
    "disc, beam of 60 degrees, grid of 50": DISC | {"beam_deg": 60, "grid_deg": 50},
    "panel, snoot": PANEL | {"snoot": {"length_cm": 12, "diameter_cm": 8}},
    "disc, photometric file": DISC | {"photometry": DOWNLIGHT},
    "panel, photometric file": PANEL | {"photometry": DOWNLIGHT},
    "ring, photometric file": RING | {"photometry": DOWNLIGHT},
    "bulb, photometric file": BULB | {"photometry": DOWNLIGHT},
}
NARROW: Final = {
    "disc, beam of 20 degrees", "panel, grid of 40 degrees", "disc, beam of 60 degrees, grid of 50", "panel, snoot"
}  # fmt: skip
LUMENS = 10_000.0
AT_CM, FACING = np.array([120.0, 260.0, 110.0]), unit([1, -2, -1])
POLAR_DEG, TURN_DEG = (0, 4, 9, 18, 35, 60, 85), (0, 50, 120, 215, 300)
AWAY_M = (0.35, 1.0, 2.5)


@cache
def lamp_of(name: str) -> EmitterShape:
    """Return a lamp of the table as an arrangement would place it."""
    (x, y, z), (aim_x, aim_y, aim_z) = AT_CM, AT_CM + FACING
    owned = lamp(DATA, name=name, lumens=LUMENS, **LAMPS[name])
    return emitter_shape(PlacedLamp("key", owned, Place((x, y, z), (aim_x, aim_y, aim_z)), 1.0))


@pytest.fixture(
    scope="module", params=[BLACK, pytest.param(0.5, marks=pytest.mark.slow)], ids=["black room", "grey room"]
)
def room(request: pytest.FixtureRequest) -> tuple[float, Tracer]:
    return request.param, room_of(request.param)


@pytest.mark.slow
@pytest.mark.parametrize("name", LAMPS)
def test_all_the_flux_of_a_lamp_arrives_on_the_walls_of_a_closed_room(room: tuple[float, Tracer], name: str) -> None:
    """And comes back by as much as the walls reflect, again and again: flux / (1 - rho)."""
    rho, traced = room
    faces = faces_of_room()
    got = read(traced, lamp_of(name), LUMENS, faces, samples=1 << 19 if name in NARROW else 1 << 17, seed=3)
    case = f"{name}, 10 000 lm in a closed room of reflectance {rho:g}, sum of lux times area, lm"
    source = "CIE 171:2006, test cases 5.4 and 5.8, conservation of flux"
    check(case, source, LUMENS / (1 - rho), got.total @ areas(faces), relative(0.005))


@pytest.mark.parametrize("name", LAMPS)
def test_a_lamp_sends_straight_to_a_point_what_the_closed_form_says(name: str) -> None:
    """All round the lamp, near and far; meters face it, and others look past it."""
    emitter = lamp_of(name)
    at, facing = places(emitter)
    expected = LUMENS / emitter.etendue * direct_factor(emitter, at, facing)
    meters = [meter(place, way) for place, way in zip(at, facing, strict=True)]
    got = read(tracer(), emitter, LUMENS, meters, samples=1 << 15, seed=5).direct
    bright = expected > 1e-3 * expected.max()
    assert bright.sum() > 20
    worst = int(np.argmax(np.where(bright, np.abs(got.mean(axis=0) / np.where(bright, expected, 1.0) - 1), 0.0)))
    source = "Lambert 1760; Gauss-Legendre quadrature of the table"
    case = f"{name}, worst of {bright.sum()} points, lx"
    check(case, source, float(expected[worst]), got[:, worst], relative(0.005))
    assert np.abs(got.mean(axis=0) - expected)[~bright].max(initial=0.0) < 1e-4 * expected.max()


def places(emitter: EmitterShape) -> tuple[Vector, Vector]:
    """Return points (n, 3) about a lamp and where meters there face, at the lamp or 50 degrees off it."""
    polar, turn, away = (
        axis.ravel() for axis in np.meshgrid(np.radians(POLAR_DEG), np.radians(TURN_DEG), AWAY_M, indexing="ij")
    )
    way = np.column_stack([np.sin(polar) * np.cos(turn), np.sin(polar) * np.sin(turn), np.cos(polar)]) @ emitter.axes.T
    aslant = np.cross(way, [0.3, 0.5, 0.8])
    aslant /= np.linalg.norm(aslant, axis=1, keepdims=True)
    tilt = np.radians(50.0) * (np.arange(len(way)) % 2)[:, None]
    return emitter.at + away[:, None] * way, -np.cos(tilt) * way + np.sin(tilt) * aslant


@pytest.mark.parametrize("name", ["panel", "disc", "ring", "bulb"])
def test_a_camera_straight_ahead_sees_the_lamps_outline_and_through_its_hole(name: str) -> None:
    """Its mean radiance over the picture is the share of it that the face takes: its area over that of the view.

    Of a ball the outline is where the cone from the camera touches it.
    """
    emitter, far, tan_half = lamp_of(name), 1.0, 0.2
    right, up, ahead = -emitter.axes[:, 0], emitter.axes[:, 1], -emitter.axes[:, 2]
    camera = Camera(emitter.at - far * ahead, np.column_stack([right, up, ahead]), tan_half, 64, 64)
    behind = board(meter(emitter.at + 2 * ahead, -ahead, 4, 4), Finish.board(BLACK))
    picture = Tracer(Geometry((behind,), camera)).images([emitter], 0, count=16)[0].sum(axis=0) / 16
    a, b = emitter.half
    areas_m2 = {
        "panel": 4 * a * b,
        "disc": np.pi * a**2,
        "ring": np.pi * (a**2 - b**2),
        "bulb": np.pi * (a * far) ** 2 / (far**2 - a**2),
    }
    expected = areas_m2[emitter.kind] / (2 * far * tan_half) ** 2
    got = float(picture.mean()) / (RANGE_NM[1] - RANGE_NM[0])
    report(f"{name}, share of the picture that shines", "areas in closed form", expected, got, relative(0.002))
    assert (picture[32, 32] > 0) == (name != "ring")
