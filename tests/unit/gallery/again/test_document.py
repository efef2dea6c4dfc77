"""A frame written as an arrangement is placed as it was, in the same light, and nothing is traced anew."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gallery.again.document import again_pieces
from gallery.again.pieces import Slot, text_of
from gallery.frames.shots import shots_with_room
from gallery.inputs import open_input, reopened, with_recesses
from render.camera.exposure import Exposure
from render.camera.locked_exposure import WhitePoint, white_point
from render.frame import Frame
from render.shot import Shot
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement, resolve
from scenes.setups.placed import AS_PLACED
from scenes.setups.setup import setup_names
from tests.support.sheets.frames import EXPOSURE, unlit_frame
from tests.support.sheets.strips import LAMPS, opened

SIZE = (60, 80)
BICOLOUR = {"name": "upright panel", "size_cm": [8, 20], "kelvin_range": [3200, 5600], "dimmer": 0.3}
BULB = {"name": "bulb", "kind": "bulb", "diameter_cm": 6, "kelvin": 2700, "spectrum": "led", "lumens": 800}
RING = {"name": "ring", "kind": "ring", "diameter_cm": 20, "hole_cm": 12, "spectrum": "FL2", "nearest_cm": 20}
WINGS = {"name": "wings", "size_cm": [20, 30], "at_cm": [-45, 5, 15], "facing": [1, 0, 0], "trifold": {"wing_cm": 12}}
CASES: dict[str, dict[str, Any]] = {
    "figure that looks left": {"subject": {"mesh": "stand-in:figure", "faces_deg": -20, "topcoat": "gloss"}},
    "bust by bulb": {"subject": {"mesh": "stand-in:bust", "height_cm": 7}, "lamps": [BULB], "camera": {"stops": 0.5}},
    "tank in a lit room": {
        "subject": {"mesh": "stand-in:tank", "length_cm": 14, "wash": {"strength": 0.5}},
        "lamps": [RING, BICOLOUR, BULB], "cards": [WINGS, "A4 white paper", "A1 black foam board"],
        "room": {"lux": 40, "clear_cm": {"left": 70}}, "camera": {"kind": "aps-c", "f_number": 8},
        "meters": [{"name": "nose", "at_cm": [0, -3, 15], "facing": [0, -1, 0]}],
    },
    "tank with a lamp over the sheet": {
        "subject": {"mesh": "stand-in:tank", "length_cm": 14}, "lamps": [BULB, {**BICOLOUR, "nearest_cm": 60}],
    },
    "spoon on a blue sheet": {
        "subject": {"mesh": "stand-in:spoon", "kind": "object"}, "backdrop": {"colour": "#24508c", "distance_cm": 40},
        "camera": {"white_balance": 5000}, "lamps": [BICOLOUR],
    },
    "ship without a sheet": {"subject": {"mesh": "stand-in:ship"}, "backdrop": {"kind": "none"}},
}  # fmt: skip


def arrangement(case: str) -> ResolvedArrangement:
    if case == "demo":
        return open_input(None, {})
    return with_recesses(resolve(fill_model(CASES[case], Arrangement, "test"), Folder(Path(), "test.toml")))


def frame_of(shot: Shot) -> Frame:
    """Return an untraced frame of a shot, its lamps dimmed by factors that few digits do not say."""
    lamps = tuple(replace(lamp, dimmer=lamp.dimmer / (i + 3)) for i, lamp in enumerate(shot.setup.lamps))
    return replace(unlit_frame(), shot=shot, setup=replace(shot.setup, lamps=lamps))


def again(arrangement: ResolvedArrangement, frame: Frame) -> Shot:
    """Return the shot as placed of the arrangement that a frame is written as."""
    text = text_of(again_pieces(arrangement, frame))
    declared = fill_model(tomllib.loads(text), Arrangement, "again.toml")
    (shot,), _ = shots_with_room(reopened(arrangement, declared), [AS_PLACED], [], SIZE, frame.setup.detail)
    return shot


def frames(case: str) -> Iterator[tuple[ResolvedArrangement, Frame]]:
    of = arrangement(case)
    shots, _ = shots_with_room(of, setup_names(), ["as-built", "matt"], SIZE)
    return ((of, frame_of(shot)) for shot in shots)


@pytest.mark.slow
@pytest.mark.parametrize("case", ["demo", *CASES])
def test_every_setup_is_placed_again_as_it_was_and_nothing_is_traced(case: str) -> None:
    seen = 0
    for of, frame in frames(case):
        assert_same_light(of, frame)
        seen += 1
    assert seen > 20


@pytest.mark.parametrize("setup", ["three-point", "broad", "high-key"])
def test_a_setup_is_placed_again_as_it_was(setup: str) -> None:
    arrangement = opened(lamps=[*LAMPS, BICOLOUR], cards=[WINGS], room={"lux": 40})
    (shot,), _ = shots_with_room(arrangement, [setup], ["satin"], SIZE)
    assert_same_light(arrangement, frame_of(shot))


def assert_same_light(arrangement: ResolvedArrangement, frame: Frame) -> None:
    shot, now = frame.shot, again(arrangement, frame)
    assert now.geometry.fingerprint == shot.geometry.fingerprint
    assert now.bare_geometry.fingerprint == shot.bare_geometry.fingerprint
    assert now.emitter_shapes == shot.emitter_shapes
    for one, other in zip(now.lit_emitters, shot.lit_emitters, strict=True):
        np.testing.assert_array_equal(one.radiance, other.radiance)
    for lamp, taken in zip(now.setup.lamps, frame.setup.lamps, strict=True):
        assert (lamp.role, lamp.name, lamp.place) == (taken.role, taken.name, taken.place)
        assert (lamp.dimmer, lamp.hangs) == (taken.dimmer, taken.hangs)
    assert (now.setup.view, now.setup.sweep, now.setup.hero_cm) == (
        shot.setup.view,
        shot.setup.sweep,
        shot.setup.hero_cm,
    )
    assert (now.setup.cards, now.setup.board.finish) == (shot.setup.cards, shot.setup.backdrop)
    assert (now.camera.shutter_s, now.camera.iso) == (frame.exposure.shutter_s, frame.exposure.iso)
    assert now.camera.white_balance == shot.camera.white_balance


def test_a_close_up_is_the_same_under_the_same_option() -> None:
    arrangement = opened()
    (shot,), _ = shots_with_room(arrangement, ["loop"], [], SIZE, "head")
    assert again(arrangement, frame_of(shot)).geometry.fingerprint == shot.geometry.fingerprint


def test_lamps_fixed_by_hand_over_an_empty_table_stay() -> None:
    bulb = {**BULB, "at_cm": [10, -20, 30], "aim_cm": [0, 0, 0]}
    arrangement = resolve(fill_model({"lamps": [bulb]}, Arrangement, "test"), Folder(Path(), "test.toml"))
    (shot,), _ = shots_with_room(arrangement, [AS_PLACED], [], SIZE)
    assert_same_light(arrangement, frame_of(shot))


def test_a_setup_metered_with_a_card_is_metered_so_again() -> None:
    arrangement = opened()
    (shot,), _ = shots_with_room(arrangement, ["raking"], [], SIZE)
    assert shot.setup.meter == "card"
    assert again(arrangement, frame_of(shot)).camera.exposure == "card"


def test_an_exposure_is_written_with_every_digit_that_it_has() -> None:
    arrangement = opened()
    (shot,), _ = shots_with_room(arrangement, ["loop"], [], SIZE)
    exposure = Exposure(2 ** (-20 / 3), 100 * 2 ** (1 / 3), 1.7)
    camera = again(arrangement, replace(frame_of(shot), exposure=exposure)).camera
    assert (camera.shutter_s, camera.iso) == (exposure.shutter_s, exposure.iso)


def test_a_white_balance_locked_to_another_frame_is_written_as_its_chromaticity() -> None:
    arrangement = opened()
    (shot,), _ = shots_with_room(arrangement, ["loop"], [], SIZE)
    white = WhitePoint(np.array([2.1, 2.0, 1.3]), 4500.0)
    camera = again(arrangement, replace(frame_of(shot), white=white)).camera
    assert white_point(camera, [], []).xyz == pytest.approx(white.xyz / 2.0, rel=1e-12)


def test_the_light_that_may_be_changed_has_slots() -> None:
    arrangement = opened(lamps=[{**BICOLOUR, "kelvin": 4200}, RING])
    (shot,), _ = shots_with_room(arrangement, ["rim"], [], SIZE)
    frame = replace(frame_of(shot), setup=shot.setup)
    slots = [piece for piece in again_pieces(arrangement, frame) if isinstance(piece, Slot)]
    by_name = {lamp.name: i for i, lamp in enumerate(shot.setup.lamps)}
    assert {(slot.name, slot.lamp): slot.initial for slot in slots} == {
        ("shutter_s", None): repr(EXPOSURE.shutter_s),
        ("white_balance", None): '"auto"',
        ("kelvin", by_name["upright panel"]): "4200",  # the ring's spectrum has no kelvin of its own
        ("dimmer", by_name["upright panel"]): "0.3",
        ("dimmer", by_name["ring"]): "1",
    }


def test_names_from_files_stay_text() -> None:
    hostile = 'end"\n[subject]'
    arrangement = opened(title='a "title" \\ # 😀', lamps=[{**BULB, "name": 'x"] = #'}])
    arrangement = replace(arrangement, folder=replace(arrangement.folder, source=hostile))
    (shot,), _ = shots_with_room(arrangement, ["loop"], [], SIZE)
    text = text_of(again_pieces(arrangement, frame_of(shot), "--size 60x80"))
    data = tomllib.loads(text)
    assert (data["title"], data["lamps"][0]["name"]) == ('a "title" \\ # 😀', 'x"] = #')
    assert "proof as-placed THIS-FILE --size 60x80" in text
    assert all(line.startswith("#") for line in text.splitlines()[:3])
