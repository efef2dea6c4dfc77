"""Light adds: lamps one at a time are all together, half the dimmer is half the light."""

from __future__ import annotations

import numpy as np
import pytest

from materials.light.spectra import blackbody
from materials.surface.finish import Finish
from render.description.scene import Camera, Geometry
from render.images.lamp_images import LitLamp, lamp_xyz, scene_xyz
from render.kernel.trace import Tracer
from tests.support.kernel.oracle import Oracle
from tests.support.light import BLACK, UP, board, bulb, check, lamp_image, meter, panel
from tests.support.report import absolute, relative, report

ADDS = "superposition of light"
KEY = panel((-0.3, -0.4, 0.5), (0.3, 0.4, -0.5), 0.30, 0.20)
RIM = bulb((0.3, 0.3, 0.25), 0.02)
LAMPS = {"key": (KEY, 1000.0, 4000.0), "rim": (RIM, 300.0, 2700.0)}
FACING_DOWN = np.column_stack([(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)])


def table(width: int, height: int) -> Tracer:
    """Return a grey table with a white card standing on it, seen from above."""
    camera = Camera(np.array([0.0, 0.0, 1.0]), FACING_DOWN, 0.3, width, height)
    grey = board(meter((0, 0, 0), UP, 2, 2), Finish.board(0.18))
    card = board(meter((0.1, 0, 0.1), (-1, 0, 0.2), 0.2, 0.2), Finish.plastic(0.7, 27))
    return Tracer(Geometry((grey, card), camera))


@pytest.fixture(scope="module")
def lit() -> list[LitLamp]:
    """Return the lamps of the table, two passes each."""
    tracer = table(12, 8)
    lamps = [lamp for lamp, _, _ in LAMPS.values()]
    images = [tracer.images(lamps, number) for number in range(2)]
    return [
        LitLamp(
            lamp_image(images[0][i], images[1][i]),
            blackbody(kelvin) * lumens / lamp.etendue,
        )
        for i, (lamp, lumens, kelvin) in enumerate(LAMPS.values())
    ]


def test_lamps_one_at_a_time_are_all_together(lit: list[LitLamp]) -> None:
    apart = [lamp_xyz(lamp) for lamp in lit]
    together = scene_xyz(apart)
    assert all(image.mean() > 0 for image in apart)
    worst = float(np.abs(together - (apart[0] + apart[1])).max())
    report("lamp images one at a time over all together, worst XYZ", ADDS, 0, worst, absolute(0))


def test_half_the_dimmer_is_half_the_light(lit: list[LitLamp]) -> None:
    full = scene_xyz([lamp_xyz(lamp) for lamp in lit])
    half = scene_xyz([lamp_xyz(LitLamp(lamp.image, 0.5 * lamp.radiance)) for lamp in lit])
    worst = float(np.abs(half / full - 0.5).max())
    report("lamp images at half the dimmer, worst XYZ ratio less .5", ADDS, 0, worst, absolute(0))


def test_lamps_traced_one_at_a_time_are_those_traced_in_one_scene() -> None:
    tracer, passes = table(32, 32), 32
    lamps = [lamp for lamp, _, _ in LAMPS.values()]
    apart = np.array([tracer.images(lamps, number).sum(axis=0).mean() for number in range(passes)], float)
    together = Oracle(tracer.geometry).images(lamps, 64, range(passes)).mean(axis=(1, 2, 3))
    share = (apart - together) / together.mean()
    check("lamps traced apart less traced together, over together", ADDS, 0, share, absolute(0.005))


def test_a_camera_sees_the_luminance_of_a_lamp() -> None:
    lamp = panel((0, 0, 0), UP, 0.30, 0.20)
    black = board(meter((0, 0, -0.1), UP, 1, 1), Finish.board(BLACK))
    tracer = Tracer(Geometry((black,), Camera(np.array([0.0, 0.0, 1.0]), FACING_DOWN, 0.05, 16, 16)))
    image = lamp_image(tracer.images([lamp], 0)[0])
    seen = lamp_xyz(LitLamp(image, blackbody(4000) * 1000 / lamp.etendue))[..., 1]
    source = "L = flux / (pi area), in closed form"
    check(
        "panel .30 x .20 m, 1000 lm, in a picture, cd/m2", source, 5305.165, seen.ravel().astype(float), relative(0.003)
    )
