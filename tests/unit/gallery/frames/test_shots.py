"""One frame and one geometry for a subject, whichever setups are asked for."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from gallery.frames.shots import require_known, shots_of, shots_with_room
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError
from scenes.setups.setup import SHEET_ORDER, load_setup, setup_names
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import resolved
from tests.unit.scenes.setups.test_setup import FIGURE, box

CAR = [box("body", (7, 18, 3), (0, 0, 2)), box("cabin", (6, 8, 2), (0, 2, 4.5))]
SUBJECTS: dict[str, tuple[Any, dict[str, Any]]] = {
    "figure": (FIGURE, {"hero": "head"}),
    "figure that looks left": (FIGURE, {"hero": "head", "faces_deg": -20}),
    "vehicle": (CAR, {}),
    "vehicle whose nose is left": (CAR, {"faces_deg": -40}),
}
OWN = 'reads_as = "mine"\nturn_deg = 80\n[[lamps]]\nrole = "key"\ndistance = 3\n'


def arrangement(name: str, **keys: Any) -> ResolvedArrangement:
    parts, subject = SUBJECTS[name]
    declared = fill_model({"subject": {"mesh": "x", **subject}, **keys}, Arrangement, "test")
    return resolved(declared, subject_from_parts("model", parts))


def geometries(name: str, *setups: str) -> dict[str, str]:
    """Return the fingerprint of each setup's geometry, by the setup; without names, of the default sheet."""
    shots = shots_of(arrangement(name), setups, (), None)
    return {shot.setup.name: shot.geometry.fingerprint for shot in shots}


@pytest.mark.slow
@pytest.mark.parametrize("name", SUBJECTS)
def test_a_setup_has_the_same_geometry_in_a_proof_a_sheet_and_a_choice_of_setups(name: str) -> None:
    sheet = geometries(name)
    for asked in (["loop"], ["short"], ["high-key"], ["broad", "rim"], ["loop", "clamshell-soft", "rembrandt"]):
        found = geometries(name, *asked)
        assert {setup: found[setup] for setup in asked if setup in sheet} == {
            setup: sheet[setup] for setup in asked if setup in sheet
        }


@pytest.mark.parametrize("name", SUBJECTS)
def test_every_setup_has_one_frame_one_scale_and_one_sheet(name: str) -> None:
    shots = shots_of(arrangement(name), (), (), None)
    assert len({(shot.setup.view, shot.setup.sweep) for shot in shots}) == 1
    assert len({(shot.geometry.camera.width, shot.geometry.camera.height) for shot in shots}) == 1


@pytest.mark.parametrize("name", ["vehicle", "vehicle whose nose is left"])
def test_all_setups_of_a_vehicle_with_the_same_cards_and_sheet_share_one_geometry(name: str) -> None:
    shots = shots_of(arrangement(name), (), (), None)
    plain = {
        shot.geometry.fingerprint for shot in shots if not shot.setup.cards and not load_setup(shot.setup.name).backdrop
    }
    assert len(plain) == 1
    assert len({shot.geometry.fingerprint for shot in shots}) <= 6


@pytest.mark.parametrize("name", ["figure", "figure that looks left"])
def test_a_figure_s_sheet_has_at_most_seven_geometries(name: str) -> None:
    assert len(set(geometries(name).values())) <= 7


def test_a_setup_of_ones_own_with_another_turn_widens_its_own_frame_alone(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(OWN, encoding="utf-8")
    alone, beside = geometries("figure", "loop"), geometries("figure", "loop", str(path))
    assert beside["loop"] == alone["loop"]
    loop, mine = (shot.setup.view for shot in shots_of(arrangement("figure"), ["loop", str(path)], (), None))
    assert mine.at_cm == loop.at_cm
    assert mine != loop


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "kind", "size"),
    [
        ("figure", "phone", (480, 640)), ("figure", "camera", (427, 640)),
        ("vehicle", "phone", (640, 480)), ("vehicle", "camera", (640, 427)),
    ],
)  # fmt: skip
def test_a_frame_s_long_side_has_640_pixels_and_the_short_one_follows_from_the_sensor(
    name: str, kind: str, size: tuple[int, int]
) -> None:
    for setup in SHEET_ORDER:
        (shot,) = shots_of(arrangement(name, camera={"kind": kind}), [setup], (), None)
        assert (shot.geometry.camera.width, shot.geometry.camera.height) == size
        assert (shot.setup.view.aspect > 1) == (size[0] > size[1])


def test_a_size_that_is_asked_for_wins() -> None:
    (shot,) = shots_of(arrangement("vehicle", camera={"kind": "camera"}), ["loop"], (), (120, 160))
    assert (shot.geometry.camera.width, shot.geometry.camera.height) == (120, 160)
    assert shot.setup.view.aspect == 0.75


FAR = 'reads_as = "far"\n[[lamps]]\nrole = "key"\ndistance = 20\n'
ROOM = {"clear_cm": {"left": 90, "right": 90, "behind": 90, "front": 90, "above": 90}}


@pytest.fixture
def far(tmp_path: Path) -> str:
    """Return a setup that has no room in `ROOM`."""
    path = tmp_path / "far.toml"
    path.write_text(FAR, encoding="utf-8")
    return str(path)


def test_setups_without_room_are_left_out_with_the_reason_and_the_others_go_on(far: str) -> None:
    shots, left_out = shots_with_room(arrangement("figure", room=ROOM), ("loop", far, "rim"), ("matt", "gloss"), None)
    names = [(shot.setup.name, shot.finish) for shot in shots]
    assert names == [("loop", "matt"), ("loop", "gloss"), ("rim", "matt"), ("rim", "gloss")]
    (setup,) = left_out
    assert setup.sentence.startswith("far is left out: it wants a lamp in front: the 20 x 14 cm panel fits nowhere (")


@pytest.mark.slow
def test_a_setup_without_room_is_an_error_where_none_else_is_asked_for_or_all_are(far: str) -> None:
    cramped = arrangement("figure", room=ROOM)
    for refuse in (
        lambda: shots_with_room(cramped, (far,), (), None),
        lambda: shots_of(cramped, ("loop", far), (), None),
        lambda: shots_with_room(arrangement("figure", room={"clear_cm": {"above": 0.6}}), (), (), None),
    ):
        with pytest.raises(InputError, match=r"test\.toml: setup '[a-z]+' wants a lamp .* fits nowhere"):
            refuse()


def test_an_empty_table_has_no_sheet_and_a_kit_is_told_where_it_belongs() -> None:
    with pytest.raises(InputError, match=r"has no \[subject\] for setups to stand round.*kit = "):
        shots_with_room(
            resolved(fill_model({"lamps": [{"name": "a", "size_cm": [9, 9]}]}, Arrangement, "kit")), [], [], None
        )


@pytest.mark.parametrize(
    ("setups", "finishes", "message"),
    [
        (["loop", "rembrant"], [], "no setup is called 'rembrant' (did you mean 'rembrandt'?)"),
        (["mine.toml"], [], "mine.toml: there is no such file"),
        ([], ["matt", "glossy-ish"], "no finish is called 'glossy-ish'"),
        ([], ["120"], "--finish 120"),
    ],
)
def test_what_no_arrangement_has_is_refused_without_one(setups: list[str], finishes: list[str], message: str) -> None:
    with pytest.raises(InputError) as caught:
        require_known(setups, finishes)
    assert str(caught.value).startswith(message)


def test_every_setup_and_finish_that_there_is_is_known() -> None:
    require_known([*setup_names(), "as-placed", "Loop"], ["as-built", "matt", "42.5"])
