"""The two laws that every lamp keeps: inverse square and cosine, far beyond ten times its size."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import DOWN, UP, bulb, check, disc, meter, panel, read, tracer
from tests.support.report import relative

INVERSE_SQUARE = "inverse square law, E = I / d2 (Lambert, Photometria, 1760) (memory)"
COSINE = "cosine law, E = E0 cos (Lambert, Photometria, 1760) (memory)"
LUMENS = 1000.0
FLAT, ROUND = LUMENS / np.pi, LUMENS / (4 * np.pi)
"""Candelas of a Lambertian face straight on, and of a sphere."""
DISC = disc((0, 0, 0), DOWN, 0.005)
LAMPS = [
    ("disc r 5 mm", DISC, FLAT),
    ("panel 10 x 8 mm", panel((0, 0, 0), DOWN, 0.010, 0.008), FLAT),
    ("bulb r 20 mm", bulb((0, 0, 0), 0.020), ROUND),
]
TILTS_DEG = (20, 45, 70, 85)
SAMPLES = 1 << 13


@pytest.mark.parametrize(("case", "lamp", "candelas"), LAMPS)
def test_light_falls_with_the_square_of_the_distance(case: str, lamp: EmitterShape, candelas: float) -> None:
    distances = (0.5, 1.0, 2.0, 6.0)
    meters = [meter((0, 0, -d), UP) for d in distances]
    got = read(tracer(), lamp, LUMENS, meters, samples=SAMPLES, seed=1).direct
    for i, d in enumerate(distances):
        check(f"{case} at {d:g} m, lx", INVERSE_SQUARE, candelas / d**2, got[:, i], relative(0.001))


@pytest.mark.parametrize(("case", "lamp", "candelas"), LAMPS)
def test_light_falls_with_the_cosine_of_a_meter_s_tilt(case: str, lamp: EmitterShape, candelas: float) -> None:
    tilts = np.radians(TILTS_DEG)
    meters = [meter((0, 0, -1), (np.sin(tilt), 0, np.cos(tilt))) for tilt in tilts]
    got = read(tracer(), lamp, LUMENS, meters, samples=SAMPLES, seed=2).direct
    for i, tilt in enumerate(tilts):
        expected = candelas * float(np.cos(tilt))
        check(f"{case} at 1 m, meter tilted {TILTS_DEG[i]} degrees, lx", COSINE, expected, got[:, i], relative(0.001))


@pytest.mark.parametrize(("case", "lamp"), [lamp[:2] for lamp in LAMPS[:2]])
def test_light_falls_with_the_cosine_of_a_flat_lamp_s_tilt(case: str, lamp: EmitterShape) -> None:
    tilts = np.radians(TILTS_DEG)
    ways = [np.array([0, np.sin(tilt), -np.cos(tilt)]) for tilt in tilts]
    got = read(tracer(), lamp, LUMENS, [meter(way, -way) for way in ways], samples=SAMPLES, seed=3).direct
    for i, tilt in enumerate(tilts):
        expected = FLAT * float(np.cos(tilt))
        check(f"{case} tilted {TILTS_DEG[i]} degrees, at 1 m, lx", COSINE, expected, got[:, i], relative(0.001))


def test_a_bulb_above_a_floor_gives_it_the_cube_of_the_cosine() -> None:
    height, offsets = 0.9, (0.0, 0.3, 0.6, 1.2, 2.4)
    meters = [meter((x, 0, -height), UP) for x in offsets]
    got = read(tracer(), LAMPS[2][1], LUMENS, meters, samples=SAMPLES, seed=4).direct
    source = "both laws, E = I cos3 / h2"
    for i, x in enumerate(offsets):
        expected = ROUND * height / (height**2 + x**2) ** 1.5
        check(f"bulb .9 m above a floor, {x:g} m off, lx", source, expected, got[:, i], relative(0.001))


def test_a_disc_above_a_floor_gives_it_the_fourth_power_of_the_cosine() -> None:
    height, offsets = 0.9, (0.3, 0.6, 1.2, 2.4)
    meters = [meter((0, y, -height), UP) for y in offsets]
    got = read(tracer(), DISC, LUMENS, meters, samples=SAMPLES, seed=5).direct
    source = "both laws, E = I0 cos4 / h2"
    for i, y in enumerate(offsets):
        expected = FLAT * height**2 / (height**2 + y**2) ** 2
        check(f"disc .9 m above a floor, {y:g} m off, lx", source, expected, got[:, i], relative(0.001))
