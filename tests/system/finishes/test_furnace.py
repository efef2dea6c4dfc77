"""The white furnace: in a uniform surround a white surface sends back the surround, whichever way one looks at it.

Of a surface that is not white as much comes back as its facets send on at once, and its colour's share of the rest
(Kulla and Conty 2017).
"""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.conductor import NO_DIP, FresnelDip
from materials.surface.energy import COSINES, directional_albedo, multiple_scattering_tint
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry
from render.images.bands import RANGE_NM
from render.kernel.trace import Tracer
from scenes.geometry import direction_round
from scenes.lamps.emitter_shape import ROOM
from tests.support.kernel.bsdfs import metal_facets
from tests.support.light import DOWN, UP, board, check, meter, read, tracer
from tests.support.report import relative

SURROUND_LUX = 1000.0
SOURCE = "white furnace, conservation of light"
BELOW_WHITE = "facets' share by quadrature, the rest through the body, in closed form"
ANGLES_DEG = (0, 20, 40, 60, 70, 80)
PASSES = 256
PIXELS = 8
LOOKING = 0.002
"""Half the height of the picture, as a tangent: a tenth of a degree."""
WHITE = {
    **{f"white plastic of {gloss} GU": Finish.plastic(1.0, gloss) for gloss in (1, 5, 10, 27, 50, 70, 85)},
    **{f"white metal of alpha {a:g}": Finish.metal(1.0, a) for a in (0.01, 0.05, 0.1, 0.2, 0.3, 0.5, 0.8, 1.0)},
    "white flakes under gloss": Finish.flake_paint(1.0, 80, 0.8, 0.35),
    "white pearl under matt": Finish.flake_paint(1.0, 5, 0.3, 0.3),
    "white metal under gloss": Finish.metal(1.0, 0.05).under_topcoat(80),
    "white metal under matt": Finish.metal(1.0, 0.2).under_topcoat(5),
    "a dipping white metal": Finish.metal(1.0, 0.3, FresnelDip(9.0, -9.0)),
    "white board": Finish.board(1.0),
    "diffuser of .3 and .7": Finish.diffuser(0.3, 0.7),
}
GREYS = (0.5, 0.18)
GLOSSES = (1, 5, 27, 85)
ALPHAS = (0.01, 0.1, 0.3, 0.6, 1.0)


def returned_share(finish: Finish, polar_deg: float) -> Array:
    """Return the share of a uniform surround that a large board sends to a camera, in independent pixels."""
    at = direction_round(0.0, 90.0 - polar_deg)
    right = np.array([1.0, 0.0, 0.0])
    camera = Camera(at, np.column_stack([right, np.cross(right, -at), -at]), LOOKING, PIXELS, PIXELS)
    traced = Tracer(Geometry((board(meter((0, 0, 0), UP, 200, 200), finish),), camera))
    picture = traced.images([ROOM], 0, count=PASSES)[0].astype(np.float64) / PASSES
    return np.asarray(picture.sum(axis=0).ravel() / (RANGE_NM[1] - RANGE_NM[0]))


def returned_lux(finish: Finish) -> Array:
    """Return what a meter reads 1 cm from a board of 200 m that fills its view, in a uniform surround.

    A meter weighs every direction by its cosine, so this is the hemispherical mean of what the board returns.
    """
    plate = board(meter((0, 0, 0), UP, 200, 200), finish)
    return read(tracer(plate), ROOM, SURROUND_LUX, [meter((0, 0, 0.01), DOWN)], samples=1 << 18, seed=1).indirect[:, 0]


def at_once(polar_deg: float, roughness: float, index: float | None = None) -> float:
    """Return the share that facets send on at once of light from one angle."""
    return float(np.interp(np.cos(np.radians(polar_deg)), COSINES, directional_albedo(roughness, index)))


@pytest.mark.parametrize("name", WHITE)
def test_a_white_surface_returns_the_surround_at_every_angle(name: str) -> None:
    for angle in ANGLES_DEG:
        check(f"{name}, {angle} degrees", SOURCE, 1.0, returned_share(WHITE[name], angle), relative(0.01))


@pytest.mark.parametrize("base", GREYS)
@pytest.mark.parametrize("gloss", GLOSSES)
def test_a_grey_plastic_returns_its_sheen_and_its_base_of_the_rest_at_every_angle(gloss: float, base: float) -> None:
    finish = Finish.plastic(base, gloss)
    for angle in ANGLES_DEG:
        sheen = at_once(angle, finish.roughness, finish.index)
        case = f"plastic of {gloss} GU, base {base}, {angle} degrees"
        expected = sheen + base * (1 - sheen)
        check(case, BELOW_WHITE, expected, returned_share(finish, angle), relative(0.005))


@pytest.mark.slow
@pytest.mark.parametrize("base", GREYS)
@pytest.mark.parametrize("alpha", ALPHAS)
def test_a_grey_metal_returns_its_facets_share_and_a_deeper_one_of_the_rest_at_every_angle(
    alpha: float, base: float
) -> None:
    finish = Finish.metal(base, alpha)
    late = float(multiple_scattering_tint(finish.base, alpha, NO_DIP)[0])
    for angle in ANGLES_DEG:
        case = f"metal of alpha {alpha:g}, base {base}, {angle} degrees"
        rest = 1 - at_once(angle, alpha)
        expected = metal_facets(base, alpha, float(np.cos(np.radians(angle)))) + late * rest
        check(case, BELOW_WHITE, expected, returned_share(finish, angle), relative(0.005))


@pytest.mark.parametrize("gloss", [1, 5, 27, 50, 85])
def test_white_plastic_returns_the_surround_to_a_meter(gloss: float) -> None:
    got = returned_lux(Finish.plastic(1.0, gloss))
    check(f"white plastic of {gloss} GU in 1000 lx, lx", SOURCE, SURROUND_LUX, got, relative(0.005))


@pytest.mark.parametrize("alpha", [0.01, 0.2, 1.0])
def test_white_metal_returns_the_surround_to_a_meter(alpha: float) -> None:
    got = returned_lux(Finish.metal(1.0, alpha))
    check(f"white metal of alpha {alpha:g} in 1000 lx, lx", SOURCE, SURROUND_LUX, got, relative(0.005))


@pytest.mark.parametrize("reflectance", [1.0, 0.5, 0.18])
def test_a_matt_board_returns_its_reflectance_of_the_surround(reflectance: float) -> None:
    got = returned_lux(Finish.board(reflectance))
    expected = reflectance * SURROUND_LUX
    check(f"board of reflectance {reflectance} in 1000 lx, lx", SOURCE, expected, got, relative(0.005))
