"""A sheet that spreads light: what passes it, what it sends back, and the same picture as the stock path tracer's."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.finish import Finish
from render.description.scene import Meter
from render.kernel.meters import irradiance
from tests.support.kernel.agreement import check as check_pictures
from tests.support.kernel.agreement import compare
from tests.support.kernel.cases import cases, under_a_sheet
from tests.support.kernel.pictures import kernel_pictures
from tests.support.kernel.references import Oracles
from tests.support.kernel.significance import Estimate, mean_ratio
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
    tracer,
)
from tests.support.report import relative
from tests.support.still_life import SAND, TEAL

RHO, TAU = 0.3, 0.6
SHEET = Finish.diffuser(RHO, TAU)
HOWELL = "Howell, Catalog of Radiation Configuration Factors, C-11 (memory): unit squares face to face at 1"
FACE_TO_FACE = 0.19982490
LUMENS, FAR_M, LAMP_RADIUS = 1e6, 200.0, 5.0
SAME, OTHER = "the lamp's side", "the other side"
BEHIND_A_SHEET = "panel behind a coloured diffuser"


@pytest.mark.parametrize("facing", [UP, DOWN], ids=["its front to the lamp", "its back to the lamp"])
@pytest.mark.parametrize("lamp_above", [True, False], ids=["lamp above", "lamp below"])
@pytest.mark.parametrize(("side", "share"), [(SAME, RHO), (OTHER, TAU)])
def test_an_evenly_lit_sheet_is_a_lambertian_panel_on_both_its_sides(
    facing: tuple[float, float, float], lamp_above: bool, side: str, share: float
) -> None:
    """A small sheet far from a lamp: E is flux / (pi (R2 + d2)), and its sides send on rho E and tau E."""
    way = 1.0 if lamp_above else -1.0
    lamp = disc((0, 0, way * FAR_M), (0, 0, -way), LAMP_RADIUS)
    level = way if side == SAME else -way
    plate = meter((0, 0, level), (0, 0, -level), 1, 1)
    arriving = LUMENS / (np.pi * (FAR_M**2 + LAMP_RADIUS**2))
    sheet = tracer(board(meter((0, 0, 0), facing, 1, 1), SHEET))
    got = read(sheet, lamp, LUMENS, [plate], samples=1 << 21, seed=11).indirect[:, 0]
    case = f"diffuser of rho {RHO}, tau {TAU}, lamp {'above' if lamp_above else 'below'}, {side}, lx"
    check(case, HOWELL, share * arriving * FACE_TO_FACE, got, relative(0.005))


def test_the_lamp_is_not_seen_through_a_sheet() -> None:
    """What comes straight from a lamp is stopped, and comes by way of the sheet."""
    lamp = panel((0, 0, 0.5), DOWN, 0.2, 0.2)
    sheet = tracer(board(meter((0, 0, 0.2), UP, 2, 2), SHEET))
    got = read(sheet, lamp, 1000, [meter((0, 0, 0), UP)], samples=4096, seed=1)
    assert not got.direct.any()
    assert got.indirect.all()


def test_a_lamp_and_a_meter_on_two_sides_of_a_sheet_may_change_places() -> None:
    """Helmholtz, through a sheet that is met aslant and from near."""
    sheet = tracer(board(meter((0, 0, 0), (0.2, 0.1, 1), 0.6, 0.5), SHEET))
    above, below = ((0.1, 0.15, 0.2), (-0.2, -0.3, -1.0)), ((-0.2, 0.05, -0.15), (0.6, 0.1, 1.0))
    size, other = (0.16, 0.12), (0.1, 0.14)
    there = irradiance(sheet, [panel(*above, *size)], [meter(*below, *other)], 1 << 21, 2)[0, :, 1, 0].sum(axis=-1)
    back = irradiance(sheet, [panel(*below, *other)], [meter(*above, *size)], 1 << 21, 3)[0, :, 1, 0].sum(axis=-1)
    ratio = mean_ratio(Estimate.of(there * np.prod(other)), Estimate.of(back * np.prod(size)))
    assert ratio.half_width < 0.005
    assert ratio.contains(1.0)


@pytest.mark.slow
@pytest.mark.parametrize(("rho", "tau"), [(0.3, 0.6), (0.5, 0.5), (BLACK, 1.0), (0.6, 0.3)])
def test_what_leaves_a_closed_box_of_sheets_is_what_passes_after_any_number_of_bounces(rho: float, tau: float) -> None:
    """Of what arrives inside rho goes round again and tau leaves: in all tau / (1 - rho) of the flux."""
    inside = faces_of_room()
    box = tracer(*(board(face, Finish.diffuser(rho, tau)) for face in inside))
    outside = [_behind(face) for face in inside]
    got = read(box, bulb((1.2, 2.6, 1.1), 0.1), 10_000, outside, samples=1 << 18, seed=4)
    assert not got.direct.any()
    left: Array = got.indirect @ areas(inside)
    source = "conservation of flux: flux tau / (1 - rho)"
    case = f"10 000 lm in a box of diffusers of rho {rho:g}, tau {tau:g}, lm outside"
    check(case, source, 10_000 * tau / (1 - rho), left, relative(0.005))


@pytest.mark.slow
def test_the_kernel_is_right_where_a_sheet_stands_between_lamp_and_subject(oracle: Oracles) -> None:
    case = cases()[BEHIND_A_SHEET]
    (traced,) = kernel_pictures(case.geometry, case.lamps, 4096)
    check_pictures(BEHIND_A_SHEET, traced, oracle(BEHIND_A_SHEET))


@pytest.mark.slow
def test_the_comparison_would_show_a_sheet_that_passes_some_per_cent_more(oracle: Oracles) -> None:
    more_passes = under_a_sheet(Finish.diffuser(0.4 * SAND, 0.618 * TEAL))
    (more,) = kernel_pictures(more_passes, cases()[BEHIND_A_SHEET].lamps, 4096)
    found = compare(more, oracle(BEHIND_A_SHEET))
    assert not found.ratio.contains(1.0)
    assert not found.bands.agrees


def _behind(face: Meter) -> Meter:
    """Return a meter a fifth of a millimetre behind a wall, that looks at its back."""
    width, height = (2 * half for half in face.half)
    return meter(face.at - 2e-4 * face.axes[:, 2], face.axes[:, 2], width, height)
