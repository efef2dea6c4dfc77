"""The specular part of a lamp image: what facets of the first surface mirror, and nothing of what its body scatters."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.finish import Finish
from materials.surface.fresnel import fresnel
from render.description.scene import Camera, Geometry, Surface
from render.images.bands import BAND_COUNT, SPECULAR_PLANE
from render.kernel.trace import Tracer
from tests.support.light import UP, board, meter, panel
from tests.support.report import relative, report

PASSES = 512
TILT = 1 / np.sqrt(2)
AT = np.array([0.0, -TILT, TILT])
LAMP = panel((0, TILT, TILT), (0, -1, -1), 0.17, 0.17)


def mirrored(*surfaces: Surface) -> Array:
    """Return the mean planes of what stands in the middle, seen in the mirror direction of a lamp, 45 degrees."""
    right = np.array([1.0, 0.0, 0.0])
    camera = Camera(AT, np.column_stack([right, np.cross(right, -AT), -AT]), 0.002, 4, 4)
    planes = Tracer(Geometry(surfaces, camera)).planes([LAMP], 0, count=PASSES)[0] / PASSES
    return np.asarray(planes.mean(axis=(1, 2)), float)


def plate(finish: Finish) -> Surface:
    return board(meter((0, 0, 0), UP, 2, 2), finish)


NOTHING, GREY, PALE = (Finish.board(reflectance).base for reflectance in (0.0, 0.2, 0.6))
GLASSY = float(fresnel(TILT, 1.5))
SMOOTH = {
    "black gloss": (Finish("plastic", NOTHING), GLASSY),
    "grey gloss": (Finish("plastic", GREY), GLASSY),
    "polished metal": (Finish("metal", PALE), 0.6),
}


@pytest.mark.parametrize("name", SMOOTH)
def test_a_lamps_mirror_image_is_its_radiance_times_the_reflectance_of_the_surface(name: str) -> None:
    finish, reflectance = SMOOTH[name]
    case = f"{name} at 45 degrees, specular part of a lamp"
    report(case, "Fresnel's equations", reflectance, mirrored(plate(finish))[SPECULAR_PLANE], relative(0.01))


def test_a_board_has_none() -> None:
    planes = mirrored(plate(Finish.board(0.9)))
    assert planes[:BAND_COUNT].min() > 0 == planes[SPECULAR_PLANE]


def test_black_gloss_is_all_specular_and_the_specular_part_is_the_mean_over_wavelengths() -> None:
    planes = mirrored(plate(Finish("plastic", NOTHING)))
    width_nm = 351.0
    assert planes[:BAND_COUNT].sum() / width_nm == pytest.approx(planes[SPECULAR_PLANE], rel=1e-3)


def test_what_is_seen_through_clear_glass_shines_as_its_own_first_surface() -> None:
    pane = board(meter(0.5 * AT, AT, 0.4, 0.4), Finish.clear(0.9))
    metal = plate(Finish("metal", PALE))
    behind, bare = mirrored(metal, pane)[SPECULAR_PLANE], mirrored(metal)[SPECULAR_PLANE]
    assert 0.6 * bare < behind < 0.95 * bare
