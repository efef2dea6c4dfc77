"""What lamps give a meter in empty space, against closed forms of radiative transfer."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import DOWN, UP, bulb, check, disc, meter, panel, read, tracer
from tests.support.report import absolute, relative, report

HOWELL_PANEL = "Howell, Catalog of Radiation Configuration Factors, B-4"
HOWELL_DISC = "Howell, Catalog of Radiation Configuration Factors, B-12"
PANEL = panel((0, 0, 0), DOWN, 0.30, 0.20)
DISC = disc((0, 0, 0), DOWN, 0.10)
BULB = bulb((0, 0, 0), 0.030)


@pytest.mark.parametrize(
    ("case", "lamp", "lumens", "luminance"),
    [
        ("panel .30 x .20 m, 1000 lm", PANEL, 1000, 5305.165),
        ("sphere r .03 m, 800 lm", BULB, 800, 22515.8),
    ],
)
def test_a_lamp_has_the_luminance_of_its_lumens(case: str, lamp: EmitterShape, lumens: float, luminance: float) -> None:
    got = lumens / lamp.etendue
    report(f"{case}, cd/m2", "L = flux / (pi area), in closed form", luminance, got, relative(5e-6))


@pytest.mark.parametrize(
    ("distance", "lux", "samples"),
    [
        (0.10, 10584.41, 1 << 21),
        (0.25, 3806.63, 1 << 20),
        (0.50, 1172.404, 1 << 18),
        (1.00, 311.573, 1 << 14),
        (2.00, 79.149, 1 << 14),
    ],
)
def test_a_panel_gives_its_lux_on_axis(distance: float, lux: float, samples: int) -> None:
    got = read(tracer(), PANEL, 1000, [meter((0, 0, -distance), UP)], samples=samples, seed=1).direct[:, 0]
    check(f"panel on axis at {distance:g} m, lx", HOWELL_PANEL, lux, got, relative(0.003))


@pytest.mark.parametrize(("x", "y", "lux"), [(0.25, 0, 802.54), (0.5, 0, 332.51), (0.5, 0.5, 145.60)])
def test_a_panel_gives_its_lux_off_axis(x: float, y: float, lux: float) -> None:
    got = read(tracer(), PANEL, 1000, [meter((x, y, -0.5), UP)], samples=1 << 20, seed=2).direct[:, 0]
    check(f"panel at .5 m off axis ({x:g}, {y:g}), lx", HOWELL_PANEL, lux, got, relative(0.003))


def test_a_panel_aimed_down_at_45_degrees_gives_its_lux() -> None:
    lamp = panel((0, -0.35, 0.35), (0, 1, -1), 0.30, 0.20)
    meters = [meter((0, 0, 0), UP), meter((0, 0, 0), (0, -1, 1))]
    got = read(tracer(), lamp, 1000, meters, samples=1 << 18, seed=3).direct
    source = f"{HOWELL_PANEL}, and its cosine"
    for i, (case, lux) in enumerate((("horizontal", 844.579), ("normal to the beam", 1194.414))):
        check(f"panel aimed down at 45 degrees, {case}, lx", source, lux, got[:, i], relative(0.003))


@pytest.mark.parametrize(("case", "lamp", "distance"), [("panel .30 x .20 m", PANEL, 1.5), ("disc r .10 m", DISC, 1.0)])
def test_inverse_square_holds_beyond_five_times_the_lamp(case: str, lamp: EmitterShape, distance: float) -> None:
    intensity = 1000 / np.pi
    near = distance / 2
    meters = [meter((0, 0, -d), UP) for d in (distance, 2 * distance, near)]
    got = read(tracer(), lamp, 1000, meters, samples=1 << 16, seed=4).direct
    source = "five-times rule of the lighting handbooks"
    for i, times in enumerate((5, 10)):
        share = got[:, i] * (times / 5 * distance) ** 2 / intensity
        check(f"{case} at {times} times its size, over inverse square", source, 1, share, absolute(0.01))
    assert got[:, 2].mean() * near**2 / intensity < 0.98


@pytest.mark.parametrize(("distance", "lux"), [(0.1, 7957.75), (0.5, 612.134), (1.0, 157.579)])
def test_a_disc_gives_its_lux_on_axis(distance: float, lux: float) -> None:
    got = read(tracer(), DISC, 500, [meter((0, 0, -distance), UP)], samples=1 << 20, seed=5).direct[:, 0]
    check(f"disc r .10 m, 500 lm, at {distance:g} m, lx", HOWELL_DISC, lux, got, relative(0.003))


def test_a_sphere_gives_its_lux() -> None:
    got = read(tracer(), BULB, 800, [meter((0, 0, -0.5), UP)], samples=1 << 16, seed=6).direct[:, 0]
    source = "flux / (4 pi d2), in closed form"
    check("sphere r .03 m, 800 lm, at .5 m, lx", source, 254.648, got, relative(0.003))


def test_a_lamp_gives_nothing_to_a_meter_that_faces_away_or_lies_behind_it() -> None:
    meters = [meter((0, 0, -0.5), DOWN), meter((0, 0, 0.5), DOWN)]
    got = read(tracer(), PANEL, 1000, meters, samples=1 << 12, seed=7)
    assert not got.direct.any()
    assert not got.indirect.any()
