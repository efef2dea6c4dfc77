"""The oracle itself, where the answer is known without it: in a uniform surround, and a lamp's body in that."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry, Surface
from render.images.bands import BAND_COUNT, band_nodes
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from tests.support.kernel.oracle import BODY_FACE, FLAT, Oracle
from tests.support.kernel.significance import mean_of
from tests.support.light import DOWN, UP, board, meter, panel

FROM_ABOVE = Camera(np.array([0.0, 0.0, 1.0]), np.diag([1.0, 1.0, -1.0]), 0.3, 32, 32)
FACING_UP, FACING_DOWN = (panel((0, 0, 0), way, 4, 4) for way in (UP, DOWN))
DARK = 0.0 * FLAT
KNOWN_TO = 0.01


def in_a_room(*surfaces: Surface, lamp: EmitterShape | None = None, is_lit: bool = True, bodies: bool = False) -> Array:
    """Return what the camera sees in a room of radiance 1, band by band in units of that, (batches, bands)."""
    lamps = [ROOM, *([lamp] if lamp else [])]
    radiance = [FLAT, FLAT if is_lit else DARK][: len(lamps)]
    seen = Oracle(Geometry(surfaces, FROM_ABOVE)).images(lamps, 64, range(16), radiance, bodies=bodies)
    width = [np.trapezoid(values, nodes) for nodes, values in map(band_nodes, range(BAND_COUNT))]
    return np.asarray(seen.mean(axis=(2, 3)) / width)


def check(seen: Array, expected: Array) -> None:
    for band, value in enumerate(expected):
        found = mean_of(seen[:, band])
        assert found.half_width < KNOWN_TO
        assert found.contains(value)


@pytest.mark.parametrize("finish", [Finish.board(0.5), Finish.board(np.linspace(0.2, 0.8, 351))])
def test_a_board_in_a_uniform_surround_has_its_reflectance_in_every_band(finish: Finish) -> None:
    plate = board(meter((0, 0, 0), UP, 4, 4), finish)
    nodes = [band_nodes(band) for band in range(BAND_COUNT)]
    fine = np.linspace(379.5, 730.5, 35101)
    reflectance = np.interp(fine, np.arange(380, 731), finish.base)
    weights = np.array([np.interp(fine, *each) for each in nodes])
    check(in_a_room(plate), (weights @ reflectance) / weights.sum(axis=1))


@pytest.mark.parametrize(("is_lit", "expected"), [(False, BODY_FACE), (True, 1 + BODY_FACE)])
def test_the_face_of_a_body_sends_back_its_reflectance_and_its_light(is_lit: bool, expected: float) -> None:
    check(in_a_room(lamp=FACING_UP, is_lit=is_lit, bodies=True), np.full(BAND_COUNT, expected))


@pytest.mark.parametrize("is_lit", [False, True])
def test_the_back_of_a_body_is_black(is_lit: bool) -> None:
    assert not in_a_room(lamp=FACING_DOWN, is_lit=is_lit, bodies=True).any()


@pytest.mark.parametrize(("lamp", "expected"), [(FACING_UP, 2.0), (FACING_DOWN, 1.0)])
def test_a_lamp_without_a_body_adds_its_light_to_what_is_seen_through_it(lamp: EmitterShape, expected: float) -> None:
    check(in_a_room(lamp=lamp), np.full(BAND_COUNT, expected))
