"""What a person asks of a setup, on a small model: the answers hold when they are tried."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh

from gallery.answers.exposure import exposure_facts, exposure_lines
from gallery.answers.fill import fill_facts, fill_lines
from gallery.answers.hero_light import HeroLight, hero_light
from gallery.answers.lumens import lumens_facts, lumens_lines
from gallery.inputs import open_input
from render.camera.exposure import Exposure
from render.images.store import Store
from render.images.tracing import Tracing
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError

WISH = Exposure(1.0, 100.0, 11.0)
ARRANGEMENT = """
[subject]
mesh = "pill.stl"
height_cm = 9
[[lamps]]
name = "key lamp"
size_cm = [12, 9]
lumens = {lumens}
[[lamps]]
name = "other"
size_cm = [12, 9]
lumens = 800
dimmable = {dimmable}
[[lamps]]
name = "small"
preset = "pocket panel"
"""


@pytest.fixture(scope="module")
def tracing(tmp_path_factory: pytest.TempPathFactory) -> Tracing:
    return Tracing(Store(tmp_path_factory.mktemp("cache")))


def opened(folder: Path, lumens: float = 1000, dimmable: str = "true") -> ResolvedArrangement:
    trimesh.creation.capsule(height=6, radius=2).export(folder / "pill.stl")
    path = folder / "a.toml"
    path.write_text(ARRANGEMENT.format(lumens=lumens, dimmable=dimmable))
    return open_input(path, {})


def asked(folder: Path, tracing: Tracing, setup: str = "three-point", **keys: float | str) -> HeroLight:
    return hero_light(opened(folder, **keys), setup, tracing)  # type: ignore[arg-type]  # lumens and dimmable


def test_f11_one_second_at_iso_100_takes_the_light_of_iso_2720(tmp_path: Path, tracing: Tracing) -> None:
    facts = exposure_facts(asked(tmp_path, tracing), WISH)
    assert facts["tripod"]["needed_lux"] == pytest.approx(2.5 * 121)  # E = C N2 / (t S), C = 250
    assert facts["tripod"]["stops_to_spare"] - facts["by_hand"]["stops_to_spare"] == pytest.approx(5.907, abs=1e-3)
    tripod, hand = exposure_lines(facts)[1:]
    assert "enough" in tripod
    assert "stops short" in hand


def test_what_an_exposure_would_take_is_enough_to_the_hair(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing)
    hand = exposure_facts(hero, WISH)["by_hand"]
    for tried in (
        Exposure(hand["or_shutter_s"], 100, 11), Exposure(1 / 60, hand["or_iso"], 11),
        Exposure(1 / 60, 100, hand["or_f_number"]),
    ):  # fmt: skip
        assert tried.incident_lux == pytest.approx(hero.lux)


def test_the_lumens_that_a_key_needs_expose_right_when_it_has_them(tmp_path: Path, tracing: Tracing) -> None:
    needed = lumens_facts(asked(tmp_path, tracing, "loop"), WISH, None, tracing)
    assert needed["clear_lumens"] == pytest.approx(needed["lumens"], rel=0.2)
    again = asked(tmp_path, tracing, "loop", lumens=needed["lumens"])
    assert again.lux == pytest.approx(WISH.incident_lux, rel=1e-6)
    assert "enough at" in lumens_lines(needed)[0]


def test_a_key_twice_as_far_needs_about_four_times_the_lumens(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing, "loop")
    near, far = (lumens_facts(hero, WISH, cm, tracing) for cm in (60.0, 120.0))
    assert far["clear_lumens"] / near["clear_lumens"] == pytest.approx(4, rel=0.05)
    assert far["lumens"] / near["lumens"] == pytest.approx(4, rel=0.1)


def test_the_dimmer_and_the_distance_for_a_fill_put_it_as_far_under(tmp_path: Path, tracing: Tracing) -> None:
    facts = fill_facts(asked(tmp_path, tracing), 2.5, tracing)
    assert facts["now_stops"] == pytest.approx(2.0, abs=1e-6)  # as the setup asks
    assert facts["traced_stops"] == pytest.approx(2.5, abs=0.1)
    assert facts["distance_cm"] > facts["now_cm"]
    assert f"dimmed to {100 * facts['dimmer']:.0f} % it is 2.5 stops under" in fill_lines(facts)


def test_a_fill_that_does_not_dim_is_said_to_and_given_a_distance(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing, dimmable="false")
    (lack,) = hero.shot.setup.shortfalls
    assert lack.startswith("wants the fill 2 stops under the key: other does not dim and is ")
    lines = fill_lines(fill_facts(hero, 2.0, tracing))
    assert not any("dimmed" in line for line in lines)
    assert "2.0 stops under" in lines[-1]


def test_a_fill_too_weak_is_told_how_many_lumens_it_lacks(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing, lumens=9000)
    facts = fill_facts(hero, 2.0, tracing)
    assert facts["dimmer"] > 1
    assert facts["needed_lumens"] == pytest.approx(800 * facts["dimmer"])
    assert "too weak" in fill_lines(facts)[1]


@pytest.mark.parametrize(
    ("setup", "said"), [("loop", "has one lamp and no fill"), ("rim-fill", "does not light the hero from the camera")]
)
def test_a_setup_without_a_key_and_a_fill_says_so(setup: str, said: str, tmp_path: Path, tracing: Tracing) -> None:
    with pytest.raises(InputError, match=said):
        fill_facts(asked(tmp_path, tracing, setup), 2.0, tracing)


def test_what_a_sheet_measured_is_not_traced_again(tmp_path: Path, tracing: Tracing) -> None:
    first = asked(tmp_path, tracing, "butterfly")
    relit = Tracing(tracing.store)
    relit._tracer_of = None  # type: ignore[assignment, method-assign]  # any trace would call it
    again = asked(tmp_path, relit, "butterfly", lumens=500)
    assert 2 * again.lux == pytest.approx(first.lux)


def test_the_rooms_light_is_not_bought_with_lumens(tmp_path: Path, tracing: Tracing) -> None:
    """Room and lamps give E = r + l; for twice that from the lamps alone, l has to be (2 E - r) / l times itself."""
    opened(tmp_path)
    path = tmp_path / "a.toml"
    path.write_text(path.read_text() + "[room]\nlux = 300\n")
    hero = hero_light(open_input(path, {}), "loop", tracing)
    assert 100 < hero.room_lux < 300
    factor = exposure_facts(hero, Exposure(1 / 60, 100, 11))["by_hand"]["lamps_factor"]
    assert factor == pytest.approx((2.5 * 121 * 60 - hero.room_lux) / (hero.lux - hero.room_lux))


def test_a_second_lamp_that_is_no_fill_is_not_taken_for_one(tmp_path: Path, tracing: Tracing) -> None:
    with pytest.raises(InputError, match="no lamp in the role of fill"):
        fill_facts(asked(tmp_path, tracing, "pair"), 2.0, tracing)
