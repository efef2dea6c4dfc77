"""Metal under a coat, and flakes in it: the same picture as the stock path tracer's, and duller under a matt one."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry
from render.kernel.trace import Tracer
from tests.support.kernel.agreement import check
from tests.support.kernel.cases import COATED, cases
from tests.support.kernel.pictures import kernel_pictures
from tests.support.kernel.references import Oracles
from tests.support.light import UP, board, meter, panel
from tests.support.light import check as published
from tests.support.report import relative

from .test_furnace import BELOW_WHITE, at_once, returned_share


@pytest.mark.slow
@pytest.mark.parametrize("name", COATED)
def test_the_kernel_gives_the_picture_of_the_stock_path_tracer(name: str, oracle: Oracles) -> None:
    case = cases()[name]
    check(name, kernel_pictures(case.geometry, case.lamps).sum(axis=0), oracle(name))


def test_a_matt_coat_takes_the_shine_off_chrome_and_a_gloss_one_leaves_it() -> None:
    chrome = Finish.metal(0.6, 0.03)
    bare, gloss, matt = (
        float(np.mean(mirrored(finish))) for finish in (chrome, chrome.under_topcoat(85), chrome.under_topcoat(5))
    )
    assert bare > gloss > 2 * matt


def mirrored(finish: Finish) -> Array:
    """Return what a plate sends of a lamp of 10 degrees into its mirror direction, 45 degrees."""
    at = np.array([0.0, -1.0, 1.0]) / np.sqrt(2)
    right = np.array([1.0, 0.0, 0.0])
    camera = Camera(at, np.column_stack([right, np.cross(right, -at), -at]), 0.002, 4, 4)
    lamp = panel((0, 1 / np.sqrt(2), 1 / np.sqrt(2)), (0, -1, -1), 0.17, 0.17)
    plate = board(meter((0, 0, 0), UP, 2, 2), finish)
    return np.asarray(Tracer(Geometry((plate,), camera)).images([lamp], 0, count=32)[0].sum(axis=0))


@pytest.mark.parametrize("gloss", [5, 80])
@pytest.mark.parametrize("base", [0.5, 0.18])
def test_metal_under_a_coat_returns_the_coats_sheen_and_its_colour_of_the_rest(gloss: float, base: float) -> None:
    coated = Finish.metal(base, 0.2).under_topcoat(gloss)
    for angle in (0, 60, 80):
        sheen = at_once(angle, coated.roughness, coated.index)
        case = f"metal of base {base} under {gloss} GU, {angle} degrees"
        got = returned_share(coated, angle)
        published(case, BELOW_WHITE, sheen + base * (1 - sheen), got, relative(0.005))
