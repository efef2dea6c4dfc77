"""The indirect part of a lamp image: light that was scattered at least twice, and nothing of what came once."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from materials.light.spectra import blackbody
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Surface
from render.images.bands import BAND_COUNT, INDIRECT_PLANE
from render.kernel.trace import Tracer
from scenes.geometry import axes_facing
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import UP, board, bulb, meter, panel
from tests.support.report import relative, report
from tests.support.shapes import ball

WIDTH_NM = 351.0
REDDISH = blackbody(2000) / blackbody(2000).max()
KEY = panel((0.2, -0.1, 0.4), (-0.2, 0.1, -0.4), 0.2, 0.14)
PLATE, CARD_AT = meter((0, 0, 0), UP, 0.4, 0.4), meter((-0.2, 0, 0.15), (1, 0, 0), 0.4, 0.3)
GLOSSY, METAL = Finish("plastic", REDDISH, roughness=0.1), Finish("metal", REDDISH, roughness=0.3)
PANE = board(meter((0, -0.1, 0.3), (0, 1, -3), 1, 1), Finish.clear(0.9))


def traced(
    surfaces: list[Surface], lamp: EmitterShape, at: ArrayLike, to: ArrayLike, tan_half_height: float
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return pixels of the whole and of the indirect part, W/(m2 sr nm), seen from a point in some direction."""
    right, up, facing = axes_facing(to).T
    camera = Camera(np.asarray(at, float), np.column_stack([right, up, facing]), tan_half_height, 8, 8)
    planes = Tracer(Geometry(tuple(surfaces), camera)).planes([lamp], 0, count=8)[0] / np.float32(8)
    return planes[:BAND_COUNT].sum(axis=0) / np.float32(WIDTH_NM), planes[INDIRECT_PLANE]


def seen_plate(finish: Finish, *others: Surface, lamp: EmitterShape) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    return traced([board(PLATE, finish), *others], lamp, (0, -0.3, 0.3), (0, 1, -1), 0.05)


@pytest.mark.parametrize("lamp", [KEY, bulb((0.1, 0, 0.3), 0.02), EmitterShape("room", np.zeros(3), np.eye(3), (1, 1))])
@pytest.mark.parametrize("finish", [Finish.board(0.8), GLOSSY, METAL])
def test_a_lone_convex_body_has_none(finish: Finish, lamp: EmitterShape) -> None:
    whole, indirect = traced([ball(0.05, 2).surface("ball", finish)], lamp, (0, -0.3, 0), (0, 1, 0), 0.1)
    assert whole.max() > 0
    assert not indirect.any()


@pytest.mark.parametrize("panes", [[], [PANE]], ids=["in the open", "behind a clear pane"])
@pytest.mark.parametrize("finish", [Finish.board(0.8), GLOSSY, METAL])
def test_it_is_what_a_white_card_adds_to_a_flat_plate(finish: Finish, panes: list[Surface]) -> None:
    # the same paths, which a black card ends
    black, white = (
        seen_plate(finish, board(CARD_AT, Finish.board(reflectance)), *panes, lamp=KEY) for reflectance in (0.0, 0.9)
    )
    assert white[1].mean() > 0.02 * white[0].mean()
    np.testing.assert_allclose(white[1] - black[1], white[0] - black[0], atol=2e-6 * float(white[0].max()))
    if not panes:
        assert not black[1].any()


@pytest.mark.parametrize("reflectance", [0.2, 0.5, 0.8])
def test_in_a_closed_sphere_with_a_lamp_in_the_middle_its_share_is_the_reflectance(reflectance: float) -> None:
    whole, indirect = traced(
        [ball(1.0, 4).surface("sphere", Finish.board(reflectance))],
        bulb((0, 0, 0), 0.05),
        (0, -0.5, 0),
        (0, -1, 0),
        0.5,
    )
    source = "sphere multiplier, rho / (1 - rho)"
    report(
        f"indirect share, rho {reflectance}", source, reflectance, float(indirect.mean() / whole.mean()), relative(0.01)
    )
