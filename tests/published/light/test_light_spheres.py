"""Light between two concentric spheres, against the two-surface enclosure of radiative transfer.

With A1 the inner sphere, convex, and A2 the outer: F12 = 1, F21 = A1 / A2, F22 = 1 - A1 / A2 (Howell, Catalog of
Radiation Configuration Factors, concentric spheres (memory)). That holds for closed meshes of triangles too, with
their own areas. Every point of the outer sphere sees the inner one alike, so what arrives in all does not depend on
how light is spread.
"""

from __future__ import annotations

import numpy as np
import pytest

from materials.arrays import Array
from materials.surface.finish import Finish
from render.kernel.trace import Tracer
from tests.support.light import Reading, bulb, check, read, tracer
from tests.support.report import relative
from tests.support.shapes import Ball, ball

ENCLOSURE = (
    "two-surface enclosure, concentric spheres: q = A1 Eb / (1/e1 + (1 - e2)/e2 A1/A2)"
    " (Incropera and DeWitt, table 13.3) (memory)"
)
FACTORS = "radiosity of two surfaces, F12 = 1, F21 = A1/A2, F22 = 1 - A1/A2 (Howell, concentric spheres) (memory)"
LUMENS = 1000.0
SUBDIVISIONS = 4
OUTER = ball(1.0, SUBDIVISIONS)


def spheres(inner: Ball, inner_reflectance: float, outer_reflectance: float) -> Tracer:
    """Return the tracer of two spheres of boards."""
    return tracer(
        inner.surface("inner", Finish.board(inner_reflectance)), OUTER.surface("outer", Finish.board(outer_reflectance))
    )


def lumens_on(sphere: Ball, got: Reading) -> tuple[Array, Array]:
    """Return the lumens on a sphere with a meter on each triangle: straight from the lamp, and by way of a sphere."""
    return got.direct @ sphere.areas, got.indirect @ sphere.areas


@pytest.mark.parametrize(
    ("radius", "inner_reflectance", "outer_reflectance"),
    [
        (0.5, 0.5, 0.8),
        pytest.param(0.5, 0.9, 0.5, marks=pytest.mark.slow),
        pytest.param(0.8, 0.3, 0.9, marks=pytest.mark.slow),
    ],
)
def test_an_inner_sphere_takes_what_a_lit_outer_sphere_sends_it(
    radius: float, inner_reflectance: float, outer_reflectance: float
) -> None:
    # a shell of light about the inner sphere, which shines outward alone, lights the outer sphere evenly
    inner, lamp = ball(radius, SUBDIVISIONS), bulb((0, 0, 0), 1.04 * radius)
    traced = spheres(inner, inner_reflectance, outer_reflectance)
    got = read(traced, lamp, LUMENS, inner.meters(1), samples=48, seed=1)
    case = f"spheres r {radius:g} and 1 m, reflectances {inner_reflectance:g} and {outer_reflectance:g}"
    assert not got.direct.any()
    share, absorbed = inner.areas.sum() / OUTER.areas.sum(), 1 - outer_reflectance
    # what the outer sphere sends back at first stands for its emission e2 Eb A2
    emitted = outer_reflectance * LUMENS / absorbed * share
    expected = emitted / (1 / (1 - inner_reflectance) + outer_reflectance / absorbed * share)
    taken = (1 - inner_reflectance) * lumens_on(inner, got)[1]
    check(f"{case}, taken by the inner, lm", ENCLOSURE, expected, taken, relative(0.005))


@pytest.mark.slow
@pytest.mark.parametrize("reflectances", [(0.3, 0.6), (0.8, 0.7)])
def test_two_concentric_spheres_share_the_light_of_a_bulb_between_them(reflectances: tuple[float, float]) -> None:
    inner, far = ball(0.3, SUBDIVISIONS), 0.55
    share = inner.areas.sum() / OUTER.areas.sum()
    # a ball fills (1 - cos) / 2 of all directions about a point; of a convex mesh, the ball of its area
    part = (1 - np.sqrt(1 - inner.areas.sum() / (4 * np.pi * far**2))) / 2
    direct = LUMENS * np.array([part, 1 - part])
    received = np.array([[0, share], [1, 1 - share]])
    bounced = np.linalg.solve(np.eye(2) - received * reflectances, direct) - direct
    traced, lamp = spheres(inner, *reflectances), bulb(far * np.array([0.48, 0.6, 0.64]), 0.01)
    case = f"spheres r .3 and 1 m, reflectances {reflectances[0]:g} and {reflectances[1]:g}"
    for i, (name, sphere, way) in enumerate((("inner", inner, 1), ("outer", OUTER, -1))):
        got = lumens_on(sphere, read(traced, lamp, LUMENS, sphere.meters(way), samples=64, seed=2))
        check(f"{case}, straight on the {name}, lm", "solid angle of a ball", direct[i], got[0], relative(0.005))
        check(f"{case}, bounced on the {name}, lm", FACTORS, bounced[i], got[1], relative(0.005))
