"""What a person asks of a setup, on a small model: the answers hold when they are tried."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.answers.exposure import Wish, exposure_facts, exposure_lines
from gallery.answers.fill import fill_facts, fill_lines
from gallery.answers.lumens import lumens_facts, lumens_lines
from gallery.answers.setup_light import frame_exposure, setup_light
from gallery.checks.arrangement import check_facts
from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.camera.exposure import Exposure
from render.hero_light import HeroLight
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.shot_light import shot_light
from scenes.arrangement.arrangement import RoomModel
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError
from scenes.setups.setup import setup_names
from tests.support.few import few_plain

WISH = Wish(f_number=11.0, shutter_s=1.0, iso=100.0)
ROOM = RoomModel()
WISHED = Exposure(1.0, 100.0, 11.0)
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
    return setup_light(opened(folder, **keys), setup, tracing)  # type: ignore[arg-type]  # lumens and dimmable


def answer(light: HeroLight, tracing: Tracing, wish: Wish = WISH) -> dict[str, Any]:
    return exposure_facts(light, frame_exposure(light, tracing), wish)


def test_f11_one_second_at_iso_100_takes_the_light_of_iso_2720(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing)
    facts = answer(hero, tracing)
    effective = facts["tripod"]["effective_f_number"]
    assert effective > 11  # N (1 + m), focused near
    as_bright = 2**hero.setup.exposure_stops  # as the setup's frame
    assert facts["tripod"]["needed_lux"] == pytest.approx(2.5 * effective**2 * as_bright)  # E = C N2 / (t S), C = 250
    assert facts["tripod"]["stops_to_spare"] - facts["by_hand"]["stops_to_spare"] == pytest.approx(5.907, abs=1e-3)
    light, frame, tripod, hand, lens = exposure_lines(facts)
    assert "lx (facing the key, model away)" in light
    assert frame.startswith("its frame: ")
    assert "enough" in tripod
    assert "stops short" in hand
    assert lens.startswith("f/11 takes another lens: ")  # a phone's has one aperture


def test_without_a_wish_the_answer_is_the_frames_exposure_alone(tmp_path: Path, tracing: Tracing) -> None:
    facts = answer(asked(tmp_path, tracing), tracing, Wish())
    assert len(exposure_lines(facts)) == 2
    assert "tripod" not in facts


def test_a_wish_for_one_setting_keeps_the_frames_others(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing)
    facts = answer(hero, tracing, Wish(iso=400.0))
    exposure = frame_exposure(hero, tracing).chosen.exposure
    assert facts["tripod"]["shutter_s"] == exposure.shutter_s
    assert facts["tripod"]["stops_to_spare"] == pytest.approx(np.log2(400 / exposure.iso), abs=1 / 6)


def test_what_an_exposure_would_take_is_enough_to_the_hair(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing)
    hand = answer(hero, tracing)["by_hand"]
    for tried in (
        Wish(11, hand["or_shutter_s"], 100), Wish(11, 1 / 60, hand["or_iso"]), Wish(hand["or_f_number"], 1 / 60, 100)
    ):  # fmt: skip
        assert answer(hero, tracing, tried)["tripod"]["stops_to_spare"] == pytest.approx(0, abs=1e-6)


def test_the_lumens_that_a_key_needs_expose_right_when_it_has_them(tmp_path: Path, tracing: Tracing) -> None:
    needed = lumens_facts(asked(tmp_path, tracing, "loop"), WISHED, None, ROOM, tracing)
    assert needed["clear_lumens"] == pytest.approx(needed["lumens"], rel=0.2)
    again = asked(tmp_path, tracing, "loop", lumens=needed["lumens"])
    assert again.metered_lux == pytest.approx(WISHED.incident_lux * 2**again.exposure_stops, rel=1e-6)
    assert "enough at" in lumens_lines(needed)[0]


def test_a_key_twice_as_far_needs_about_four_times_the_lumens(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing, "loop")
    near, far = (lumens_facts(hero, WISHED, cm, ROOM, tracing) for cm in (60.0, 120.0))
    assert far["clear_lumens"] / near["clear_lumens"] == pytest.approx(4, rel=0.05)
    assert far["lumens"] / near["lumens"] == pytest.approx(4, rel=0.1)


def test_the_dimmer_and_the_distance_for_a_fill_put_it_as_far_under(tmp_path: Path, tracing: Tracing) -> None:
    facts = fill_facts(asked(tmp_path, tracing), 2.5, ROOM, tracing)
    assert facts["now_stops"] == pytest.approx(2.0, abs=1e-6)  # as the setup asks
    assert facts["traced_stops"] == pytest.approx(2.5, abs=0.1)
    assert facts["distance_cm"] > facts["now_cm"]
    assert f"dimmed to {100 * facts['dimmer']:.0f} % it is 2.5 stops under" in fill_lines(facts)


def test_a_fill_that_does_not_dim_is_said_to_and_given_a_distance(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing, dimmable="false")
    (lack,) = hero.setup.shortfalls
    assert lack.startswith("wants the fill 2 stops under the key: other does not dim and is ")
    lines = fill_lines(fill_facts(hero, 2.0, ROOM, tracing))
    assert not any("dimmed" in line for line in lines)
    assert "2.0 stops under" in lines[-1]


def test_a_fill_too_weak_is_told_how_many_lumens_it_lacks(tmp_path: Path, tracing: Tracing) -> None:
    hero = asked(tmp_path, tracing, lumens=9000)
    facts = fill_facts(hero, 2.0, ROOM, tracing)
    assert facts["dimmer"] > 1
    assert facts["needed_lumens"] == pytest.approx(800 * facts["dimmer"])
    assert "too weak" in fill_lines(facts)[1]


def test_a_setup_of_one_lamp_has_no_fill_and_says_so(tmp_path: Path, tracing: Tracing) -> None:
    with pytest.raises(InputError, match="has one lamp and no fill"):
        fill_facts(asked(tmp_path, tracing, "loop"), 2.0, ROOM, tracing)


def test_the_fill_of_rim_fill_is_compared_with_the_rim(tmp_path: Path, tracing: Tracing) -> None:
    facts = fill_facts(asked(tmp_path, tracing, "rim-fill"), 2.0, ROOM, tracing)
    assert facts["key_role"] == "rim"
    assert "the rim now" in fill_lines(facts)[0]


def test_what_a_sheet_measured_is_not_traced_again(tmp_path: Path, tracing: Tracing) -> None:
    first = asked(tmp_path, tracing, "butterfly")
    relit = Tracing(tracing.store)
    relit._tracer_of = None  # type: ignore[assignment, method-assign]  # any trace would call it
    again = asked(tmp_path, relit, "butterfly", lumens=500)
    assert 2 * again.metered_lux == pytest.approx(first.metered_lux)


def test_the_rooms_light_is_not_bought_with_lumens(tmp_path: Path, tracing: Tracing) -> None:
    """Room and lamps give E = r + l; for twice that from the lamps alone, l has to be (2 E - r) / l times itself."""
    opened(tmp_path)
    path = tmp_path / "a.toml"
    path.write_text(path.read_text() + "[room]\nlux = 300\n")
    hero = setup_light(open_input(path, {}), "loop", tracing)
    assert 100 < hero.room_lux < 300
    facts = answer(hero, tracing)["by_hand"]
    wanted = (facts["needed_lux"] - hero.room_lux) / (hero.metered_lux - hero.room_lux)
    assert facts["lamps_factor"] == pytest.approx(wanted)


def test_a_second_lamp_that_is_no_fill_is_not_taken_for_one(tmp_path: Path, tracing: Tracing) -> None:
    with pytest.raises(InputError, match="no lamp in the role of fill"):
        fill_facts(asked(tmp_path, tracing, "pair"), 2.0, ROOM, tracing)


FLAGGED = """
[subject]
mesh = "pill.stl"
height_cm = 9
[[lamps]]
name = "a"
size_cm = [6, 4]
at_cm = [-20, -30, 30]
aim_cm = [0, 0, 6]
[[cards]]
name = "flag"
size_cm = [30, 30]
reflectance = "black velvet"
at_cm = [-10, -15, 18]
facing = [-0.5, -0.75, 0.6]
"""


def by_hand(folder: Path, text: str) -> ResolvedArrangement:
    opened(folder)
    path = folder / "by-hand.toml"
    path.write_text(text)
    return open_input(path, {})


def test_a_card_between_the_key_and_the_hero_is_named_by_ask_and_by_check(tmp_path: Path, tracing: Tracing) -> None:
    arrangement = by_hand(tmp_path, FLAGGED)
    between = "the card 'flag' stands between the key and the hero"
    with pytest.raises(InputError, match=between):
        lumens_facts(setup_light(arrangement, "as-placed", tracing), WISHED, None, ROOM, tracing)
    dark = f"as-placed: no lamp lights the hero: {between}"
    assert dark in check_facts(arrangement)["doubts"]
    assert dark in exposure_lines(answer(setup_light(arrangement, "as-placed", tracing), tracing, Wish()))


def test_a_lamp_turned_away_is_named_where_no_light_reaches_the_hero(tmp_path: Path, tracing: Tracing) -> None:
    text = FLAGGED.partition("[[cards]]")[0].replace("aim_cm = [0, 0, 6]", "aim_cm = [-40, -60, 54]")
    arrangement = by_hand(tmp_path, text + '[backdrop]\nkind = "none"\n')
    light = setup_light(arrangement, "as-placed", tracing)
    with pytest.raises(InputError, match=r"no light reaches the hero: the key \(a\) is turned away from the hero"):
        answer(light, tracing)
    assert (
        "as-placed: no lamp lights the hero: the key (a) is turned away from the hero"
        in check_facts(arrangement)["doubts"]
    )


def test_a_lamp_that_is_off_is_named_and_no_lumens_are_asked_of_it(tmp_path: Path, tracing: Tracing) -> None:
    lamp = FLAGGED.partition("[[cards]]")[0]
    arrangement = by_hand(tmp_path, lamp + "dimmer = 0\n")
    light = setup_light(arrangement, "as-placed", tracing)
    with pytest.raises(InputError, match=r"no light reaches the hero: the key \(a\) is off"):
        lumens_facts(light, WISHED, None, ROOM, tracing)
    assert "as-placed: no lamp lights the hero: the key (a) is off" in check_facts(arrangement)["doubts"]


@pytest.mark.parametrize("setup", ["raking", "backlight", "split", "rim"])
def test_the_key_of_a_frame_needs_the_lumens_that_it_has(setup: str, tmp_path: Path, tracing: Tracing) -> None:
    """Whatever receptor meters: the frame's own settings differ from the metered ones by rounding alone."""
    text = FLAGGED.partition("at_cm")[0]
    light = setup_light(by_hand(tmp_path, text + "lumens = 800\n"), setup, tracing)
    assert len(light.setup.lamps) == 1
    facts = lumens_facts(light, frame_exposure(light, tracing).chosen.exposure, None, ROOM, tracing)
    assert facts["basis"] == light.basis
    assert abs(np.log2(facts["lumens"] / facts["owned_lumens"])) <= 1 / 6 + 1e-6
    assert lumens_lines(facts)[0].endswith("800 lm, just enough")


@pytest.mark.parametrize(
    ("lux", "why"), [(0, "none falls where it is metered"), (100, "no light of the rim .* falls where the exposure")]
)
def test_lumens_are_not_asked_of_a_lamp_whose_light_is_not_metered(
    lux: float, why: str, tmp_path: Path, tracing: Tracing
) -> None:
    """Without a backdrop nothing returns a light behind the model to the receptor that faces the camera."""
    text = FLAGGED.partition("at_cm")[0] + f'[backdrop]\nkind = "none"\n[room]\nlux = {lux}\n'
    light = setup_light(by_hand(tmp_path, text), "backlight", tracing)
    with pytest.raises(InputError, match=why):
        lumens_facts(light, WISHED, None, ROOM, tracing)


@pytest.mark.slow
def test_a_frame_metered_as_a_whole_is_asked_about_by_its_own_meter(tmp_path: Path, tracing: Tracing) -> None:
    arrangement = by_hand(tmp_path, FLAGGED.partition("[[cards]]")[0] + '[camera]\nexposure = "scene"\n')
    light = setup_light(arrangement, "as-placed", tracing)
    iso = frame_exposure(light, tracing).chosen.exposure.iso
    facts = answer(light, tracing, Wish(iso=2 * iso))
    assert facts["tripod"]["stops_to_spare"] == pytest.approx(1, abs=1 / 6)
    assert exposure_lines(facts)[1].endswith("metered by the whole frame")


def test_of_fixed_settings_it_is_said_how_far_they_are_from_metered(tmp_path: Path, tracing: Tracing) -> None:
    lamp = FLAGGED.partition("[[cards]]")[0]
    metered = setup_light(by_hand(tmp_path, lamp), "as-placed", tracing)
    exposure = frame_exposure(metered, tracing).chosen.exposure
    fixed = f"[camera]\nshutter_s = {4 * exposure.shutter_s}\niso = {exposure.iso}\n"
    facts = answer(setup_light(by_hand(tmp_path, lamp + fixed), "as-placed", tracing), tracing, Wish())
    assert facts["over_meter_stops"] == pytest.approx(2, abs=1 / 6)
    assert "stops brighter than metered" in exposure_lines(facts)[1]


def test_an_f_number_of_another_lens_is_said_to_be_one(tmp_path: Path, tracing: Tracing) -> None:
    light = asked(tmp_path, tracing)
    assert "f/11 takes another lens: a phone's main lens has f/1.7 only" in exposure_lines(answer(light, tracing))


def test_a_place_under_the_table_is_never_proposed(tmp_path: Path, tracing: Tracing) -> None:
    text = FLAGGED.partition("[[cards]]")[0].replace("at_cm = [-20, -30, 30]", "at_cm = [-12, -18, 3.5]")
    low = setup_light(by_hand(tmp_path, text), "as-placed", tracing)
    with pytest.raises(InputError, match=r"would reach into the table there; the nearest with room is \d+ cm"):
        lumens_facts(low, WISHED, 200.0, ROOM, tracing)


def test_a_place_beyond_the_room_is_never_proposed(tmp_path: Path, tracing: Tracing) -> None:
    light = setup_light(by_hand(tmp_path, FLAGGED.partition("[[cards]]")[0]), "as-placed", tracing)
    room = RoomModel.model_validate({"clear_cm": {"left": 30}})
    with pytest.raises(InputError, match=r"would stand beyond room.clear_cm there; the nearest with room is \d+ cm"):
        lumens_facts(light, WISHED, 100.0, room, tracing)


def test_a_fill_that_would_go_under_the_table_is_given_the_nearest_place_with_room(
    tmp_path: Path, tracing: Tracing
) -> None:
    low = '[[lamps]]\nname = "b"\nsize_cm = [6, 4]\nat_cm = [12, -18, 3.5]\naim_cm = [0, 0, 6]\n'
    arrangement = by_hand(tmp_path, FLAGGED.partition("[[cards]]")[0] + low)
    facts = fill_facts(setup_light(arrangement, "as-placed", tracing), 5.0, ROOM, tracing)
    assert facts["obstacle"] == "reach into the table"
    assert facts["now_cm"] <= facts["distance_cm"] < facts["wished_cm"]
    assert facts["at_cm"][2] > 0
    assert "it would reach into the table; the nearest with room is" in fill_lines(facts)[-1]


@pytest.mark.parametrize("setup", few_plain(setup_names(), ("butterfly", "rim-fill", "high-key", "raking")))
def test_ask_and_the_frame_expose_alike_whatever_the_frames_size(setup: str, tmp_path: Path, tracing: Tracing) -> None:
    arrangement = opened(tmp_path)
    facts = answer(setup_light(arrangement, setup, tracing), tracing, Wish())
    for size in ((30, 40), (60, 80)):
        (shot,) = shots_of(arrangement, [setup], ["as-built"], size)
        light = shot_light(shot, tracing, 1)
        exposure = light.chosen_exposure.exposure
        asked_for = (facts["shutter_s"], facts["iso"], facts["f_number"])
        assert (exposure.shutter_s, exposure.iso, exposure.f_number) == asked_for
        assert light.metered_lux == pytest.approx(facts["lux"], rel=1e-6)
    assert facts["lux_error"] < 0.01 * facts["lux"]
