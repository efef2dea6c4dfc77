"""Clear parts: light passes them straight on, by Fresnel and in their colour, whichever way it is found."""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.finish import Finish
from materials.surface.fresnel import fresnel
from render.description.scene import Camera, Geometry, Surface
from render.description.surface_finish import surface_finish
from render.images.bands import RANGE_NM
from render.kernel.trace import Tracer
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from scenes.subject.subject import Part
from tests.support.arrangements import finishes
from tests.support.light import DOWN, UP, board, check, meter, panel, read, tracer
from tests.support.report import relative

CLEAR = Finish.clear(1.0)
TINTED = Finish("clear", np.full(351, 0.9))
CANOPY = Part("canopy", np.zeros((0, 3), np.float32), np.zeros((0, 3), np.float32), np.zeros((0, 3), np.int32))
SOURCE = "Fresnel's equations, closed form"


def panes(count: int, finish: Finish, height: float = 0.5, size: float = 40.0) -> list[Surface]:
    """Return so many clear surfaces, a centimetre apart."""
    return [board(meter((0, 0, height + 0.01 * i), UP, size, size), finish) for i in range(count)]


def seen(surfaces: list[Surface], lamp: object, polar_deg: float, passes: int = 64) -> Array:
    """Return the radiance that a camera below looking up sees of a lamp of 1 W/(m2 sr nm), in its pixels."""
    polar = np.radians(polar_deg)
    into = np.array([0.0, np.sin(polar), np.cos(polar)])
    right = np.array([1.0, 0.0, 0.0])
    camera = Camera(np.zeros(3), np.column_stack([right, np.cross(right, into), into]), 0.002, 8, 8)
    picture = Tracer(Geometry(tuple(surfaces), camera)).images([lamp], 0, count=passes)[0]  # type: ignore[list-item]
    return np.asarray(picture.astype(np.float64).sum(axis=0).ravel() / passes / (RANGE_NM[1] - RANGE_NM[0]))


@pytest.mark.parametrize("count", [1, 2, 4])
@pytest.mark.parametrize("polar_deg", [0, 60])
def test_a_lamp_is_seen_through_panes_weaker_by_each_surface(count: int, polar_deg: float) -> None:
    cosine = np.cos(np.radians(polar_deg))
    lamp = panel((0, 0, 3), DOWN, 40, 40)
    passes = float(0.9 * (1 - fresnel(cosine, 1.5)))
    # what one surface throws back the ones below it do not all lose: two see each other's mirror image
    expected = passes if count == 1 else stacked(count, float(fresnel(cosine, 1.5)), 0.9)
    got = seen(panes(count, TINTED), lamp, polar_deg)
    check(f"{count} tinted surfaces at {polar_deg} degrees", SOURCE, expected, got, relative(0.01))


def stacked(count: int, reflected: float, tint: float) -> float:
    """Return what a stack of like surfaces passes, each reflecting and passing `tint` of the rest, by adding layers.

    T and R of a stack of two, T1 T2 / (1 - R1 R2) and R1 + T1^2 R2 / (1 - R1 R2) (Stokes 1862).
    """
    through, back = tint * (1 - reflected), reflected
    total, thrown = through, back
    for _ in range(count - 1):
        between = 1 - thrown * back
        total, thrown = total * through / between, back + through**2 * thrown / between
    return total


def test_a_pane_that_takes_no_light_is_not_seen_in_an_even_surround() -> None:
    for polar in (0, 45, 80):
        got = seen(panes(3, CLEAR, size=400), ROOM, polar)
        check(
            f"three clear surfaces in a surround, {polar} degrees", "conservation of light", 1.0, got, relative(0.005)
        )


@pytest.mark.parametrize("count", [1, 2])
def test_a_meter_below_a_pane_reads_what_passes(count: int) -> None:
    far = panel((0, 0, 20), DOWN, 0.5, 0.5)
    plate = meter((0, 0, 0), UP)
    bare = read(tracer(), far, 1e6, [plate], samples=1 << 14, seed=1).total.mean()
    got = read(tracer(*panes(count, TINTED)), far, 1e6, [plate], samples=1 << 16, seed=1).total[:, 0]
    expected = bare * (0.9 * (1 - float(fresnel(1.0, 1.5)))) ** count
    check(f"lux below {count} tinted surfaces", SOURCE, float(expected), got, relative(0.005))


@pytest.mark.parametrize("lamp", [panel((0, 0, 20), DOWN, 0.5, 0.5), ROOM], ids=["panel", "room"])
def test_light_straight_through_glass_is_direct(lamp: EmitterShape) -> None:
    """What a pane mirrors up from below is not: of the room, as much as it takes from above."""
    plate = [meter((0, 0, 0), UP)]
    bare = read(tracer(), lamp, 1e6, plate, samples=1 << 14, seed=1).direct.mean()
    got = read(tracer(*panes(1, CLEAR, size=400)), lamp, 1e6, plate, samples=1 << 16, seed=1)
    lost = 0.0918 if lamp is ROOM else float(fresnel(1.0, 1.5))  # 9.18 % of even light, by Fresnel (memory)
    assert got.direct.mean() / bare == pytest.approx(1 - lost, abs=0.003)
    assert got.indirect.mean() / bare == pytest.approx(lost if lamp is ROOM else 0.0, abs=0.003)


def test_features_tell_how_far_a_pane_is_and_what_stands_behind_it() -> None:
    floor = board(meter((0, 0, 0), UP, 4, 4), Finish.board(0.5))
    down = Camera(np.array([0.0, 0.0, 2.0]), np.diag([1.0, -1.0, -1.0]), 0.002, 8, 8)
    features = Tracer(Geometry((floor, *panes(2, CLEAR)), down)).features
    np.testing.assert_allclose(features.depth, 2.0 - 0.51, atol=1e-4)
    np.testing.assert_allclose(features.body_depth, 2.0, atol=1e-4)


def test_a_board_below_a_pane_is_lit_through_it_by_drawn_points_and_by_met_lamps_alike() -> None:
    """A small lamp is found by points drawn on it, the surround by paths alone: both have to pass the same share."""
    floor = board(meter((0, 0, 0), UP, 40, 40), Finish.board(0.5))
    up = Camera(np.array([0.0, 0.0, 0.3]), np.diag([1.0, -1.0, -1.0]), 0.002, 8, 8)
    lamp = panel((0, 0, 20), DOWN, 1.0, 1.0)
    lights = {}
    for name, surfaces in {"bare": [floor], "covered": [floor, *panes(1, TINTED)]}.items():
        picture = Tracer(Geometry(tuple(surfaces), up)).images([lamp, ROOM], 0, count=128)
        lights[name] = picture.astype(np.float64).sum(axis=(1, 2, 3))
    let, even = 0.9 * (1 - float(fresnel(1.0, 1.5))), 0.9 * (1 - 0.0918)
    inside = 1 / (1 - 0.5 * 0.0918)  # the pane throws back 9.18 % of even light, by Fresnel (memory)
    drawn, met = lights["covered"] / lights["bare"]
    assert drawn == pytest.approx(let * inside, rel=0.01)
    assert met == pytest.approx(even * inside, rel=0.01)


@pytest.mark.parametrize(
    ("name", "finish", "low", "high"),
    [
        ("polystyrene, n 1.59", surface_finish(CANOPY, finishes(parts=[{"clear": True}])).finish, 0.88, 0.90),
        ("PMMA, n 1.49", Finish.clear(0.92, 1.49), 0.915, 0.925),
    ],
)
def test_a_pane_passes_what_data_sheets_state(name: str, finish: Finish, low: float, high: float) -> None:
    """With the reflection of both surfaces, as ASTM D1003 and ISO 13468-1 measure it; data sheets, from memory."""
    got = seen(panes(2, finish), panel((0, 0, 3), DOWN, 40, 40), 0.0).mean()
    assert low < got < high, name


def test_tinted_glass_passes_its_colour() -> None:
    spectrum = np.linspace(0.2, 0.9, 351)
    lamp = panel((0, 0, 3), DOWN, 40, 40)
    up = Camera(np.zeros(3), np.diag([1.0, -1.0, 1.0]) @ np.diag([1.0, -1.0, 1.0]), 0.002, 4, 4)
    pictures = [
        Tracer(Geometry(tuple(surfaces), up)).images([lamp], 0, count=64)[0].astype(np.float64).sum(axis=(1, 2))
        for surfaces in ([], panes(2, Finish.clear(spectrum)))
    ]
    share = pictures[1] / pictures[0]
    centres = np.interp(np.linspace(400, 700, 12), np.arange(380, 731), spectrum)
    np.testing.assert_allclose(share[1:-1], centres[1:-1], rtol=0.02)
