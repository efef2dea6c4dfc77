"""The white furnace: in a uniform surround a white surface sends back the surround."""

from __future__ import annotations

import pytest

from materials.finishes import Finish
from render.description import ROOM
from tests.published.light import DOWN, UP, Array, board, check, meter, read, tracer
from tests.published.report import relative

SURROUND_LUX = 1000.0
SOURCE = "white furnace, conservation of light"


def returned_lux(finish: Finish) -> Array:
    """Return what a meter reads 1 cm from a board of 200 m that fills its view, in a uniform surround.

    A meter weighs every direction by its cosine, so this is the hemispherical mean of what the board returns.
    """
    plate = board(meter((0, 0, 0), UP, 200, 200), finish)
    return read(tracer(plate), ROOM, SURROUND_LUX, [meter((0, 0, 0.01), DOWN)], samples=1 << 19, seed=1).bounced[:, 0]


@pytest.mark.parametrize("gloss", [5, 10, 20, 27, 35, 50, 70, 85])
def test_white_plastic_returns_the_surround_at_any_gloss(gloss: float) -> None:
    got = returned_lux(Finish.plastic(1.0, gloss))
    check(f"white plastic of {gloss} GU in 1000 lx, lx", SOURCE, SURROUND_LUX, got, relative(0.01))


@pytest.mark.parametrize("reflectance", [1.0, 0.5, 0.18])
def test_a_matt_board_returns_its_reflectance_of_the_surround(reflectance: float) -> None:
    got = returned_lux(Finish.board(reflectance))
    expected = reflectance * SURROUND_LUX
    check(f"board of reflectance {reflectance} in 1000 lx, lx", SOURCE, expected, got, relative(0.005))
