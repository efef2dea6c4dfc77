"""The geometry of a placed setup in SI, and its fingerprints."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from materials.surface.finish import Finish
from render.description.lit_emitter import emitter_shape
from render.description.scene import Geometry, setup_geometry, with_finishes
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.geometry import axes_facing, corners
from scenes.lamps.emitter_shape import ROOM, EmitterShape
from scenes.setups.placed import AS_PLACED, PlacedSetup
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.part_finishes import PartFinishes
from tests.support.arrangements import finishes, place
from tests.unit.scenes.setups.test_setup import FIGURE, box

LAMP: dict[str, Any] = {"name": "A", "size_cm": [20, 14], "at_cm": [-20, -30, 40], "aim_cm": [0, 0, 10]}
CARD: dict[str, Any] = {"size_cm": [21, 30], "at_cm": [0, -15, 1], "facing": [0, 1, 1], "reflectance": 0.6}
PLAIN: dict[str, Any] = {"subject": {"mesh": "x"}, "lamps": [LAMP], "cards": [CARD]}


def placed(parts: Any = FIGURE, **keys: Any) -> PlacedSetup:
    arrangement = fill_model({**PLAIN, **keys}, Arrangement, "test")
    return place(AS_PLACED, arrangement, subject_from_parts("figure", parts), 0.75)


def geometry(width: int = 60, height: int = 80, finished: PartFinishes | None = None, **keys: Any) -> Geometry:
    return setup_geometry(placed(**keys), finished or finishes(), width, height)


def test_everything_that_stands_on_the_table_is_described_once_in_metres() -> None:
    setup = placed()
    described = geometry()
    assert [(s.name, s.kind) for s in described.surfaces] == [
        *((name, "subject") for name, _, _ in FIGURE),
        ("sweep", "backdrop"),
        ("card", "card"),
    ]
    assert setup.subject is not None
    subject = np.concatenate([s.vertices for s in described.surfaces if s.kind == "subject"])
    np.testing.assert_allclose([subject.min(axis=0), subject.max(axis=0)], setup.subject.bounds_cm / 100, atol=1e-6)
    assert all(s.vertices.dtype == np.float32 for s in described.surfaces)
    assert all(s.faces.max() < len(s.vertices) for s in described.surfaces)


def test_lamps_are_light_and_no_part_of_the_geometry() -> None:
    moved = {**LAMP, "at_cm": [30, -30, 40], "lumens": 7}
    assert geometry(lamps=[moved]).fingerprint == geometry().fingerprint


def test_a_card_is_a_matt_board_with_its_corners_in_place_and_its_face_to_where_it_faces() -> None:
    card = geometry().surfaces[-1]
    assert card.finish == Finish.board(0.6)
    expected = corners(CARD["at_cm"], CARD["facing"], CARD["size_cm"]) / 100
    np.testing.assert_allclose(card.vertices, expected, atol=1e-6)
    for a, b, c in card.vertices[card.faces]:
        normal = np.cross(b - a, c - a)
        np.testing.assert_allclose(normal / np.linalg.norm(normal), axes_facing(CARD["facing"])[:, 2], atol=1e-5)


def test_the_sheet_has_the_reflectance_of_the_setup() -> None:
    sheet = next(s for s in geometry(backdrop={"reflectance": "black cloth"}).surfaces if s.kind == "backdrop")
    assert sheet.finish == Finish.board(0.012)
    assert "backdrop" not in {s.kind for s in geometry(backdrop={"kind": "none"}).surfaces}


def test_the_camera_is_that_of_the_viewpoint_in_metres() -> None:
    view, camera = placed().view, geometry().camera
    np.testing.assert_allclose(camera.at, np.asarray(view.at_cm) / 100)
    np.testing.assert_array_equal(camera.axes, view.axes)
    assert (camera.tan_half_height, camera.width, camera.height) == (view.tan_half_height, 60, 80)


@pytest.mark.parametrize(
    ("keys", "half", "etendue"),
    [
        ({"kind": "panel", "size_cm": [20, 14]}, (0.1, 0.07), np.pi * 0.2 * 0.14),
        ({"kind": "disc", "size_cm": None, "diameter_cm": 20}, (0.1, 0.1), np.pi * np.pi * 0.01),
        ({"kind": "bulb", "size_cm": None, "diameter_cm": 6}, (0.03, 0.03), np.pi * 4 * np.pi * 0.0009),
    ],
)
def test_a_lamp_is_described_by_its_halves_and_emits_pi_times_its_area(
    keys: dict[str, Any], half: tuple[float, float], etendue: float
) -> None:
    lamp = emitter_shape(placed(lamps=[{**LAMP, **keys}]).lamps[0])
    np.testing.assert_allclose(lamp.at, [-0.2, -0.3, 0.4])
    assert lamp.half == pytest.approx(half)
    assert lamp.etendue == pytest.approx(etendue)


def test_a_lamp_faces_its_aim() -> None:
    lamp = emitter_shape(placed().lamps[0])
    way = np.subtract(LAMP["aim_cm"], LAMP["at_cm"])
    np.testing.assert_allclose(lamp.axes[:, 2], way / np.linalg.norm(way))


def test_a_rooms_etendue_makes_lux_of_its_radiance() -> None:
    assert ROOM.etendue == pytest.approx(np.pi)  # a uniform surround of radiance L gives pi L


CHANGES: dict[str, Geometry] = {
    "a vertex moved": geometry(parts=[box("block", (3, 3, 9.01), (0, 0, 4.5))]),
    "a part renamed": geometry(parts=[box("blocks", (3, 3, 9), (0, 0, 4.5))]),
    "a size": geometry(parts=[box("block", (4, 3, 9), (0, 0, 4.5))]),
    "a finish": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], finished=finishes(topcoat="gloss")),
    "a colour": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], finished=finishes(parts=[{"base": "#8c8c8d"}])),
    "a backdrop": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], backdrop={"reflectance": 0.19}),
    "a sheet": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], backdrop={"sheet_cm": [70, 110]}),
    "a card moved": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], cards=[{**CARD, "at_cm": [0, -16, 1]}]),
    "a card gone": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], cards=[]),
    "a camera moved": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], camera={"height_cm": 9}),
    "a wider lens": geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))], camera={"fill_frame": 0.6}),
    "more pixels": geometry(120, 160, parts=[box("block", (3, 3, 9), (0, 0, 4.5))]),
}
BLOCK = [box("block", (3, 3, 9), (0, 0, 4.5))]


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_changes_the_picture_changes_the_fingerprint(change: str) -> None:
    assert CHANGES[change].fingerprint != geometry(parts=BLOCK).fingerprint


def test_no_two_changes_have_one_fingerprint() -> None:
    assert len({changed.fingerprint for changed in CHANGES.values()}) == len(CHANGES)


def test_what_is_equal_has_an_equal_fingerprint() -> None:
    assert geometry(parts=BLOCK).fingerprint == geometry(parts=[box("block", (3, 3, 9), (0, 0, 4.5))]).fingerprint
    named, by_number = (geometry(parts=BLOCK, backdrop={"reflectance": r}) for r in ("grey card", 0.18))
    assert named.fingerprint == by_number.fingerprint


@pytest.mark.parametrize(
    "keys", [{"camera": {"exposure": "card", "white_balance": 5500}}, {"room": {"lux": 40}}, {"title": "another"}]
)
def test_what_changes_the_light_or_the_camera_settings_alone_leaves_the_fingerprint(keys: dict[str, Any]) -> None:
    assert geometry(parts=BLOCK, **keys).fingerprint == geometry(parts=BLOCK).fingerprint


def test_a_finish_that_is_masked_away_leaves_the_fingerprint() -> None:
    masked = geometry(parts=BLOCK, finished=finishes(topcoat="gloss", no_topcoat=["*"]))
    assert masked.fingerprint == geometry(parts=BLOCK).fingerprint


@pytest.mark.parametrize(
    "change",
    [{"kind": "disc"}, {"at": np.array([0.0, 0.0, 1.0])}, {"axes": axes_facing((0, 1, 0))}, {"half": (0.1, 0.08)}],
)
def test_a_lamps_fingerprint_covers_its_kind_place_way_and_size(change: dict[str, Any]) -> None:
    lamp = EmitterShape("panel", np.zeros(3), np.eye(3), (0.1, 0.07))
    assert lamp.fingerprint == EmitterShape("panel", np.zeros(3), np.eye(3), (0.1, 0.07)).fingerprint
    assert replace(lamp, **change).fingerprint != lamp.fingerprint


def test_a_lamps_power_and_colour_leave_its_fingerprint() -> None:
    dimmed = placed(lamps=[{**LAMP, "lumens": 5, "kelvin": 2700, "dimmer": 0.1, "name": "B"}]).lamps[0]
    assert emitter_shape(dimmed).fingerprint == emitter_shape(placed().lamps[0]).fingerprint


def test_another_finish_shares_the_triangles() -> None:
    setup = placed()
    plain = setup_geometry(setup, finishes(), 60, 80)
    glossy = with_finishes(plain, setup, finishes(topcoat=80))
    assert glossy.fingerprint != plain.fingerprint
    assert glossy.mesh_fingerprint == plain.mesh_fingerprint
    for before, after in zip(plain.surfaces, glossy.surfaces, strict=True):
        assert after.vertices is before.vertices
        assert after.faces is before.faces
    assert glossy.fingerprint == geometry(finished=finishes(topcoat=80)).fingerprint


def test_setups_that_share_a_subject_and_its_finishes_share_its_surfaces() -> None:
    setup, plain = placed(), finishes()
    one, other = (setup_geometry(setup, plain, width, 80) for width in (60, 90))
    assert [a is b for a, b in zip(one.surfaces, other.surfaces, strict=True)] == [
        s.kind == "subject" for s in one.surfaces
    ]
    assert one.fingerprint != other.fingerprint
