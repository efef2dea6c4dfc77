"""Light that goes to and fro many times: nothing is cut off."""

from __future__ import annotations

import numpy as np
import pytest

from materials.surface.finish import Finish
from tests.support.light import DOWN, UP, areas, board, bulb, check, faces_of_room, meter, panel, read, room_of, tracer
from tests.support.report import relative
from tests.support.shapes import arriving, factors, lux_of_point, nodes, returned

CONSERVED = "conservation of flux, flux / (S (1 - rho)) (as CIE 171:2006, test case 5.8)"
RADIOSITY = "radiosity at Gauss points, solved as a linear system (Goral et al. 1984) (memory)"
LUMENS = 100.0


@pytest.mark.slow
@pytest.mark.parametrize("reflectance", [0.9, 0.95])
def test_light_in_a_closed_white_box_is_conserved(reflectance: float) -> None:
    faces = faces_of_room()
    surface = areas(faces).sum()
    got = read(room_of(reflectance), bulb((1.2, 2.6, 1.1), 0.03), LUMENS, faces, samples=1 << 17, seed=1)
    total = got.total @ areas(faces) / surface
    case = f"closed box of reflectance {reflectance}, mean total lx"
    check(case, CONSERVED, LUMENS / (surface * (1 - reflectance)), total, relative(0.005))


@pytest.mark.slow
def test_an_open_tent_of_white_cards_gives_the_sum_of_all_its_bounces() -> None:
    # on five sides of a cube, 3 cm clear of its edges: none stands before another, and the side to the camera is open
    half, side, reflectance, lamp_at = 0.2, 0.34, 0.85, (0.03, -0.03, 0.05)
    tent = {
        "floor": meter((0, 0, -half), UP, side, side),
        "roof": meter((0, 0, half), DOWN, side, side),
        "left": meter((-half, 0, 0), (1, 0, 0), side, side),
        "right": meter((half, 0, 0), (-1, 0, 0), side, side),
        "back": meter((0, half, 0), (0, -1, 0), side, side),
    }
    points = nodes(list(tent.values()), [reflectance] * len(tent), 16)
    middles = [meter(card.at, card.axes[:, 2]) for card in tent.values()]
    expected = returned(points, arriving(points, lux_of_point(lamp_at, None, LUMENS, points)), middles)
    traced = tracer(*(board(card, Finish.board(reflectance)) for card in tent.values()))
    got = read(traced, bulb(lamp_at, 0.005), LUMENS, middles, samples=1 << 19, seed=2).indirect
    for i, name in enumerate(tent):
        case = f"open tent of cards of .85, middle of {name}, bounced lx"
        check(case, RADIOSITY, float(expected[i]), got[:, i], relative(0.005))


@pytest.mark.parametrize("gap", [0.10, pytest.param(0.02, marks=pytest.mark.slow)])
def test_two_white_cards_face_to_face_give_the_sum_of_all_their_bounces(gap: float) -> None:
    # the upper one glows evenly: a panel of its size, a twentieth of the gap before it
    side, reflectance, lamp_at = 5 * gap, 0.9, (0, 0, 0.95 * gap)
    cards = {"lower": meter((0, 0, 0), UP, side, side), "upper": meter((0, 0, gap), DOWN, side, side)}
    points = nodes(list(cards.values()), [reflectance] * 2, 28)
    glow = nodes([meter(lamp_at, DOWN, side, side)], [0], 36)
    direct = factors(points.at, points.normals, glow).sum(axis=1) * LUMENS / side**2
    bounced = (arriving(points, direct) - direct) * points.areas / side**2
    traced = tracer(*(board(card, Finish.board(reflectance)) for card in cards.values()))
    lamp = panel(lamp_at, DOWN, side, side)
    got = read(traced, lamp, LUMENS, list(cards.values()), samples=1 << 21, seed=3).indirect
    for i, (name, lux) in enumerate(zip(cards, np.split(bounced, 2), strict=True)):
        case = f"cards of .9, five gaps wide, {100 * gap:g} cm apart, mean over the {name}, bounced lx"
        check(case, RADIOSITY, float(lux.sum()), got[:, i], relative(0.005))
