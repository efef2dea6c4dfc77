"""Light that a card passes on, against view factors in closed form."""

from __future__ import annotations

import numpy as np
import pytest

from materials.surface.finish import Finish
from render.description.scene import Meter
from tests.support.light import DOWN, UP, board, check, meter, panel, read, tracer
from tests.support.report import relative

FACE_TO_FACE = ("face to face at 1 m", meter((0, 0, 1), DOWN, 1, 1), 0.19982490)
SHARING_AN_EDGE = ("sharing an edge at 90 degrees", meter((0, 0.5, 0.5), (0, -1, 0), 1, 1), 0.20004378)
SOURCE = "view factors of unit squares, in closed form"


def test_a_square_panel_sends_a_square_meter_its_view_factor() -> None:
    case, square, factor = FACE_TO_FACE
    got = read(tracer(), panel((0, 0, 0), UP, 1, 1), 1.0, [square], samples=1 << 20, seed=1).direct[:, 0]
    check(f"panel and meter, {case}", SOURCE, factor, got, relative(0.005))


@pytest.mark.parametrize(("case", "square", "factor"), [FACE_TO_FACE, SHARING_AN_EDGE])
def test_a_lit_card_sends_a_square_meter_its_view_factor(case: str, square: Meter, factor: float) -> None:
    # a small panel 400 m up lights the card evenly
    lamp, card_lux, reflectance = panel((0, 0, 400), DOWN, 1, 1), 1000.0, 0.8
    card = board(meter((0, 0, 0), UP, 1, 1), Finish.board(reflectance))
    lumens = card_lux * np.pi * 400**2
    got = read(tracer(card), lamp, lumens, [square], samples=1 << 22, seed=2).indirect[:, 0] / (card_lux * reflectance)
    check(f"lit card and meter, {case}", SOURCE, factor, got, relative(0.005))
