"""What a wash does to light: a film of matt paint lies over the finish, on the fraction that it covers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry
from render.description.surface_finish import WashLayer
from render.kernel.trace import Tracer
from tests.support.light import UP, board, meter, panel
from tests.support.report import relative, report

CHROME, FILM = Finish.metal(0.6, 0.1), Finish.board(0.02)
TILT = 1 / np.sqrt(2)
LIGHT = "a share of the surface is covered, the rest is not"


def mirrored(finish: Finish, film: Finish, coverage: float) -> float:
    """Return what a washed plate sends of a lamp of 10 degrees into its mirror direction, 45 degrees."""
    at, right = np.array([0.0, -TILT, TILT]), np.array([1.0, 0.0, 0.0])
    camera = Camera(at, np.column_stack([right, np.cross(right, -at), -at]), 0.002, 4, 4)
    plate = board(meter((0, 0, 0), UP, 2, 2), finish)
    wash = WashLayer(np.full((len(plate.faces), 3), coverage, np.float32), film)
    tracer = Tracer(Geometry((replace(plate, wash=wash),), camera))
    lamp = panel((0, TILT, TILT), (0, -1, -1), 0.17, 0.17)
    return float(tracer.images([lamp], 0, count=64)[0].sum(axis=0).mean())


@pytest.mark.parametrize("gloss", [None, 30])
def test_a_washed_metal_shines_only_where_the_wash_leaves_it_bare(gloss: float | None) -> None:
    finish, film = (f if gloss is None else f.under_topcoat(gloss) for f in (CHROME, FILM))
    bare, covered, washed = (mirrored(finish, film, coverage) for coverage in (0.0, 1.0, 0.7))
    case = f"chrome under {gloss or 'no'} topcoat, washed by 70 %, mirrored lamp"
    report(case, LIGHT, 0.3 * bare + 0.7 * covered, washed, relative(0.01))
    report(f"{case}, all of it", LIGHT, mirrored(film, film, 0.0), covered, relative(0.01))
    assert covered < (0.1 if gloss is None else 0.6) * bare
