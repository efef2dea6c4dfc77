"""A closed box of cards with a bulb in it, from an arrangement file by the command line to lux: flux is conserved."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from tests.support.command import run
from tests.support.report import relative, report

SOURCE = "CIE 171:2006, test case 5.8, by conservation of flux"
CLOSED_FORM = "Lambert 1760, sphere in closed form, averaged by Gauss-Legendre"
WIDTH_CM, DEPTH_CM, HEIGHT_CM = 60.0, 50.0, 40.0
REFLECTANCE = 0.5
LUMENS = 800.0
X, Y, Z = WIDTH_CM / 2, DEPTH_CM / 2, HEIGHT_CM
FACES: dict[str, tuple[tuple[float, float, float], tuple[int, int, int], tuple[float, float]]] = {
    "floor": ((0, 0, 0), (0, 0, 1), (WIDTH_CM, DEPTH_CM)),
    "ceiling": ((0, 0, Z), (0, 0, -1), (WIDTH_CM, DEPTH_CM)),
    "left": ((-X, 0, Z / 2), (1, 0, 0), (DEPTH_CM, HEIGHT_CM)),
    "right": ((X, 0, Z / 2), (-1, 0, 0), (DEPTH_CM, HEIGHT_CM)),
    "front": ((0, -Y, Z / 2), (0, 1, 0), (WIDTH_CM, HEIGHT_CM)),
    "back": ((0, Y, Z / 2), (0, -1, 0), (WIDTH_CM, HEIGHT_CM)),
}
AREAS_M2 = np.array([width * height / 1e4 for _, _, (width, height) in FACES.values()])


def arrangement() -> str:
    """Return the file: six cards that face inward, a meter over each, and a bulb off the middle."""
    tables = [
        '[backdrop]\nkind = "none"\n',
        f'[[lamps]]\nname = "bulb"\nkind = "bulb"\ndiameter_cm = 6\nlumens = {LUMENS}\nat_cm = [6, -4, 18]\n',
    ]
    for name, (at, facing, size) in FACES.items():
        place = f'name = "{name}"\nat_cm = {list(at)}\nfacing = {list(facing)}\nsize_cm = {list(size)}\n'
        tables += [f"[[cards]]\n{place}reflectance = {REFLECTANCE}\n", f"[[meters]]\n{place}"]
    return "\n".join(tables)


@pytest.fixture(scope="module")
def meters(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    folder = tmp_path_factory.mktemp("box")
    (folder / "box.toml").write_text(arrangement())
    ran = run(folder, "meter", "box.toml", "--json")
    assert ran.returncode == 0, ran.stderr
    read: list[dict[str, Any]] = json.loads(ran.stdout)["meters"]
    return read


def over_walls(meters: list[dict[str, Any]], key: str) -> float:
    """Return the mean over all walls of what their meters say, by area."""
    return float(np.array([meter[key] for meter in meters]) @ AREAS_M2 / AREAS_M2.sum())


def test_mean_lux_over_the_walls_is_the_flux_over_what_they_absorb(meters: list[dict[str, Any]]) -> None:
    expected = LUMENS / (AREAS_M2.sum() * (1 - REFLECTANCE))
    report("box of cards of .5, mean total lx", SOURCE, expected, over_walls(meters, "lux"), relative(0.005))


def test_mean_indirect_lux_over_the_walls_is_their_reflectance_of_that(meters: list[dict[str, Any]]) -> None:
    expected = REFLECTANCE * LUMENS / (AREAS_M2.sum() * (1 - REFLECTANCE))
    got = over_walls(meters, "lux") - over_walls(meters, "direct_lux")
    report("box of cards of .5, mean indirect lx", SOURCE, expected, got, relative(0.005))


def test_all_the_flux_arrives_straight_from_the_bulb(meters: list[dict[str, Any]]) -> None:
    for key in ("direct_lux", "clear_lux"):
        got = over_walls(meters, key) * AREAS_M2.sum()
        source = "CIE 171:2006, test case 5.4, conservation of flux"
        report(f"box of cards, sum of {key} times area, lm", source, LUMENS, got, relative(0.005))


def test_each_wall_gets_straight_from_the_bulb_what_the_closed_form_says(meters: list[dict[str, Any]]) -> None:
    for meter in meters:
        case = f"box of cards, {meter['name']}, direct lx"
        report(case, CLOSED_FORM, meter["clear_lux"], meter["direct_lux"], relative(0.005))


def test_every_reading_has_its_parts_by_lamp_and_a_standard_error_that_says_how_sure_it_is(
    meters: list[dict[str, Any]],
) -> None:
    assert [meter["name"] for meter in meters] == list(FACES)
    for meter in meters:
        assert meter["by_lamp"] == {"bulb": pytest.approx(meter["lux"], rel=1e-9)}
        assert meter["by_lamp_error"] == {"bulb": pytest.approx(meter["lux_error"], rel=1e-9)}
        assert 0 < meter["lux_error"] < 0.005 * meter["lux"]
