"""Light that goes from a lamp by way of one card, of two, or to and fro between two, against quadrature."""

from __future__ import annotations

import pytest

from materials.surface.finish import Finish
from render.description.scene import Meter
from tests.support.light import DOWN, UP, board, check, disc, meter, read, tracer
from tests.support.report import relative
from tests.support.shapes import arriving, factors, lux_of_point, nodes, returned

ONE_BOUNCE = "configuration factors by Gauss quadrature: sum of E rho cos cos dA / (pi r2)"
SERIES = "radiosity at Gauss points, solved as a linear system (Goral et al. 1984) (memory)"
LUMENS = 100.0
POINT_M = 0.0005
"""The radius of a disc that stands for a point: its light is within 1e-4 of it from 5 cm on."""

CARD, CARD_REFLECTANCE = meter((0, 0, 0), UP, 0.50, 0.50), 0.8
SECOND, SECOND_REFLECTANCE = meter((0.25, 0, 0.12), (-1, 0, -1.2), 0.30, 0.30), 0.6
"""It leans over an edge of the first card, out of the way of its light, and has the lamp behind it."""
LAMP_AT = (0.0, 0.0, 0.4)
LAMP = disc(LAMP_AT, DOWN, POINT_M)


@pytest.mark.parametrize(
    ("case", "place"),
    [
        ("from above", meter((0.10, 0.05, 0.15), DOWN)),
        ("beside it, upright", meter((0.20, 0, 0.10), (-1, 0, 0))),
        ("aslant", meter((-0.05, 0.25, 0.12), (0.2, -1, -0.5))),
    ],
)
def test_a_card_lit_unevenly_gives_a_meter_its_lux(case: str, place: Meter) -> None:
    points = nodes([CARD], [CARD_REFLECTANCE], 48)
    expected = returned(points, lux_of_point(LAMP_AT, DOWN, LUMENS, points), [place])[0]
    lit = tracer(board(CARD, Finish.board(CARD_REFLECTANCE)))
    got = read(lit, LAMP, LUMENS, [place], samples=1 << 21, seed=1).indirect[:, 0]
    check(f"lit card, meter {case}, lx", ONE_BOUNCE, float(expected), got, relative(0.005))


def test_a_card_lit_by_a_card_gives_a_meter_its_lux() -> None:
    # a meter in the plane of the first card sees the second alone
    place = meter((0.27, 0, 0), (1, 0, 1.2))
    points = nodes([CARD, SECOND], [CARD_REFLECTANCE, SECOND_REFLECTANCE], 32)
    direct = lux_of_point(LAMP_AT, DOWN, LUMENS, points)
    assert not direct[points.reflectance == SECOND_REFLECTANCE].any()
    once = factors(points.at, points.normals, points) @ (points.reflectance * direct)
    twice, expected = (float(returned(points, lux, [place])[0]) for lux in (once, arriving(points, direct)))
    both = tracer(board(CARD, Finish.board(CARD_REFLECTANCE)), board(SECOND, Finish.board(SECOND_REFLECTANCE)))
    got = read(both, LAMP, LUMENS, [place], samples=1 << 22, seed=2).indirect[:, 0]
    case = f"card lit by a card, lx ({100 * twice / expected:.1f} % of it by two bounces)"
    check(case, SERIES, expected, got, relative(0.005))


@pytest.mark.slow
def test_two_parallel_cards_give_meters_the_sum_of_all_their_bounces() -> None:
    # the lamp hangs 5 mm under the upper card and shines down
    lower, upper = plates = [meter((0, 0, 0), UP, 0.30, 0.20), meter((0, 0, 0.10), DOWN, 0.30, 0.20)]
    reflectances, lamp_at = (0.8, 0.5), (0.05, 0.02, 0.095)
    meters = {"lower, middle": lower, "upper, middle": upper, "upper, aside": meter((0.06, 0.04, 0.10), DOWN)}
    places = [meter(m.at, m.axes[:, 2]) for m in meters.values()]
    points = nodes(plates, reflectances, 24)
    lux = arriving(points, lux_of_point(lamp_at, DOWN, LUMENS, points))
    expected = returned(points, lux, places)
    traced = tracer(*(board(plate, Finish.board(r)) for plate, r in zip(plates, reflectances, strict=True)))
    got = read(traced, disc(lamp_at, DOWN, POINT_M), LUMENS, places, samples=1 << 22, seed=3).indirect
    for i, name in enumerate(meters):
        case = f"parallel cards .30 x .20 m, .10 m apart, {name}, lx"
        check(case, SERIES, float(expected[i]), got[:, i], relative(0.005))
