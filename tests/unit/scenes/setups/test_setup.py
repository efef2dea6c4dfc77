"""Every setup, put up round models of every build, reads as its name says."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import demo_arrangement, resolve
from scenes.errors import InputError
from scenes.geometry import corners, direction_round, distance_to_board, round_and_rise
from scenes.setups.placed import PlacedLamp, PlacedSetup
from scenes.setups.setup import SHEET_ORDER, load_setup, setup_names
from scenes.stage.viewpoint import Viewpoint
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.support.arrangements import place

Mesh = tuple[str, NDArray[Any], NDArray[Any]]
Points = NDArray[np.float64]


def box(name: str, size: tuple[float, float, float], at: tuple[float, float, float]) -> Mesh:
    mesh = trimesh.creation.box(size).apply_translation(at)
    return name, mesh.vertices, mesh.faces


def ball(name: str, radius: float, at: tuple[float, float, float]) -> Mesh:
    mesh = trimesh.creation.icosphere(2, radius).apply_translation(at)
    return name, mesh.vertices, mesh.faces


FIGURE = [
    box("legs", (3, 2.5, 7), (0, 0, 3.5)), box("torso", (5, 3, 6), (0, 0, 10)), ball("head", 1.6, (0, 0, 15)),
    box("arms", (8, 1.5, 5), (0, 0, 10)), box("nose", (0.4, 0.6, 0.6), (0, -1.8, 15)),
]  # fmt: skip
AIRCRAFT = [
    box("wing", (30, 5, 1), (0, 0, 2)), box("fuselage", (3, 25, 3), (0, 0, 2)), box("fin", (0.5, 3, 2), (0, 11, 4)),
    ball("nose", 1.2, (0, -11.5, 2)),
]  # fmt: skip
SHIP = [
    box("hull", (6, 40, 4), (0, 0, 2)), box("bridge", (4, 6, 6), (0, 3, 6)), box("mast", (0.5, 0.5, 6), (0, 3, 12)),
]  # fmt: skip
BUST = [ball("head", 0.9, (0, 0, 3)), box("chest", (2.6, 1.4, 2), (0, 0, 1)), box("nose", (0.3, 0.4, 0.4), (0, -1, 3))]
BUILDS = {"figure": (FIGURE, "head"), "aircraft": (AIRCRAFT, "nose"), "ship": (SHIP, "bridge"), "bust": (BUST, "head")}
EVERY_MODEL = [*BUILDS, pytest.param("diver", marks=pytest.mark.slow)]
SETUPS = setup_names()


class Thing(NamedTuple):
    """A lamp or a card of a setup where it stands, with the clearance it asks for."""

    role: str
    size_cm: tuple[float, float]
    at_cm: tuple[float, float, float]
    facing: NDArray[np.float64]
    clearance_cm: float

    def spread(self, n: int = 33) -> Points:
        a, b, _, d = corners(self.at_cm, self.facing, self.size_cm)
        u, v = (g.reshape(-1, 1) for g in np.meshgrid(np.linspace(0, 1, n), np.linspace(0, 1, n)))
        return np.asarray(a + u * (b - a) + v * (d - a))


@cache
def model(name: str) -> tuple[Arrangement, Subject]:
    if name == "diver":
        demo = demo_arrangement()
        subject = resolve(demo, Folder(Path(), name)).subject
        assert subject is not None
        return demo, subject
    parts, hero = BUILDS[name]
    declared = {"subject": {"mesh": "x", "hero": hero, "kind": name}}
    return fill_model(declared, Arrangement, name), subject_from_parts(name, parts)


@cache
def place_named(name: str, setup: str) -> PlacedSetup:
    return place(setup, *model(name))


def things(name: str, setup: str) -> Iterator[Thing]:
    placed, asked = place_named(name, setup), load_setup(setup)
    clearances = {want.role: want.clearance_cm for variant in asked.variants() for want in variant.lamps}
    for lamp in placed.lamps:
        yield Thing(lamp.role, lamp.extent_cm, lamp.place.at_cm, lamp.place.facing, clearances[lamp.role])
    for card, wish in zip(placed.cards, asked.cards, strict=True):
        yield Thing(card.name, card.size_cm, card.at_cm, np.asarray(card.facing), wish.clearance_cm)


def lamp(placed: PlacedSetup, role: str = "key") -> PlacedLamp:
    return next(lamp for lamp in placed.lamps if lamp.role == role)


def comes_from(placed: PlacedSetup, role: str = "key") -> tuple[float, float]:
    """Return (round_deg, rise_deg) of where a lamp's light comes from."""
    return round_and_rise(-lamp(placed, role).place.facing)


def sizes_away(placed: PlacedSetup, role: str = "key") -> float:
    return float(np.linalg.norm(np.subtract(lamp(placed, role).place.at_cm, placed.hero_cm)) / placed.size_cm)


def between(degrees: float, other: float) -> float:
    """Return the angle between two ways round."""
    return abs((degrees - other + 180) % 360 - 180)


def in_sight(points: Points, view: Viewpoint) -> NDArray[np.bool_]:
    x, y, depth = view.project(points).T
    return np.asarray((depth > 0) & (np.abs(x) <= 1) & (np.abs(y) <= 1))


def hidden_share(points: Points, placed: PlacedSetup) -> float:
    """Return the share of points that lie outside the frame or have something of the subject in front of them."""
    assert placed.subject is not None
    x, y, depth = placed.view.project(placed.subject.surface_points(60000)).T
    nearest = cKDTree(np.column_stack([x, y]))
    out = ~in_sight(points, placed.view)
    px, py, pdepth = placed.view.project(points).T
    finite = np.isfinite(px)
    away, which = nearest.query(np.column_stack([px[finite], py[finite]]))
    out[finite] |= (away < 0.02) & (depth[which] < pdepth[finite])
    return float(out.mean())


def test_the_default_sheet_comes_first_and_every_other_setup_by_name() -> None:
    assert SETUPS[: len(SHEET_ORDER)] == SHEET_ORDER
    assert SETUPS[len(SHEET_ORDER) :] == (
        "backlight", "clamshell-soft", "clamshell-steep", "kicker", "overhead", "pair", "raking",
    )  # fmt: skip


@pytest.mark.parametrize("setup", SETUPS)
def test_a_setup_says_how_it_reads_and_three_things_to_look_for_and_has_a_first_lamp(setup: str) -> None:
    loaded = load_setup(setup)
    assert loaded.reads_as
    assert len(set(loaded.look_for)) == 3
    roles = [lamp.role for lamp in loaded.lamps] + [card.role for card in loaded.cards]
    assert len(set(roles)) == len(roles)


def test_an_unknown_setup_is_told_with_the_nearest_spelling() -> None:
    with pytest.raises(InputError) as caught:
        load_setup("rembrant")
    assert str(caught.value) == "no setup is called 'rembrant' (did you mean 'rembrandt'?)"


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize("name", EVERY_MODEL)
class TestAnyModelInAnySetup:
    """What holds whatever is lit and however."""

    def test_everything_has_a_finite_place(self, name: str, setup: str) -> None:
        for thing in things(name, setup):
            assert np.isfinite([*thing.at_cm, *thing.facing]).all(), thing.role

    def test_nothing_comes_nearer_to_the_model_than_its_clearance(self, name: str, setup: str) -> None:
        subject = place_named(name, setup).subject
        assert subject is not None
        points = np.concatenate([subject.surface_points(8000), *(part.vertices_cm for part in subject.parts)])
        for thing in things(name, setup):
            nearest = distance_to_board(points, thing.at_cm, thing.facing, thing.size_cm).min()
            assert nearest >= thing.clearance_cm - 0.005 * subject.size_cm, thing.role

    def test_nothing_stands_in_the_table_or_the_wall(self, name: str, setup: str) -> None:
        sweep = place_named(name, setup).sweep
        assert sweep is not None
        for thing in things(name, setup):
            assert sweep.behind(corners(thing.at_cm, thing.facing, thing.size_cm)) < 0, thing.role

    def test_nothing_is_seen_in_the_frame_but_what_the_model_hides(self, name: str, setup: str) -> None:
        placed = place_named(name, setup)
        for thing in things(name, setup):
            spread = thing.spread()
            if in_sight(spread, placed.view).any():
                assert hidden_share(spread, placed) >= 0.95, thing.role

    def test_the_camera_has_room_beside_everything(self, name: str, setup: str) -> None:
        camera = np.array([place_named(name, setup).view.at_cm])
        for thing in things(name, setup):
            assert distance_to_board(camera, thing.at_cm, thing.facing, thing.size_cm)[0] > 0.5, thing.role

    def test_no_card_stands_between_a_lamp_and_what_it_lights(self, name: str, setup: str) -> None:
        placed = place_named(name, setup)
        for lit in placed.lamps:
            start, end = np.asarray(lit.place.at_cm), np.asarray(lit.place.aim_cm)
            path = start + np.linspace(0.0, 1.0, 101)[:, None] * (end - start)
            for card in placed.cards:
                assert distance_to_board(path, card.at_cm, card.facing, card.size_cm).min() > 1, (lit.role, card.name)

    def test_the_backdrop_alone_fills_the_frame_behind_the_model(self, name: str, setup: str) -> None:
        placed = place_named(name, setup)
        assert placed.sweep is not None
        half, top = placed.sweep.width_cm / 2, placed.sweep.height_cm
        wall = np.array([[side * half, placed.sweep.wall_cm, z] for side in (-1, 1) for z in (0, top)])
        x, y, _ = placed.view.project(wall).T
        assert (np.abs(x) > 1).all()
        assert (y[1::2] > 1).all()


@pytest.mark.parametrize("name", BUILDS)
class TestAsItsName:
    """What tells one setup from another, on every build of model."""

    def test_butterfly_lights_from_ahead_a_little_left_of_the_camera_and_well_up(self, name: str) -> None:
        round_deg, rise_deg = comes_from(place_named(name, "butterfly"))
        assert -20 <= round_deg < 0
        assert 40 <= rise_deg <= 57

    def test_butterfly_close_is_nearer_and_steeper_than_butterfly(self, name: str) -> None:
        close, far = place_named(name, "butterfly-close"), place_named(name, "butterfly")
        assert sizes_away(close) < 0.7 * sizes_away(far)
        assert comes_from(close)[1] > comes_from(far)[1] + 10

    def test_butterfly_card_has_a_near_lamp_well_up_and_a_white_card_below_the_frame(self, name: str) -> None:
        carded = place_named(name, "butterfly-card")
        assert sizes_away(carded) < sizes_away(place_named(name, "butterfly"))
        assert comes_from(carded)[1] > comes_from(place_named(name, "butterfly"))[1] + 5
        (card,) = carded.cards
        assert card.finish.base[0] > 0.75
        thing = next(t for t in things(name, "butterfly-card") if t.role == card.name)
        _, y, depth = carded.view.project(thing.spread()).T
        # before a bust of 4 cm the camera is too near for a card to lie there
        assert (y[depth > 0] < -1).all() or (name == "bust" and "within 8 cm of the lens" in carded.shortfalls[0])
        assert (depth > 0).any()
        # it faces up, and to the model
        assert card.facing[2] > 0.3
        assert np.dot(card.facing, np.subtract(carded.hero_cm, card.at_cm)) > 0

    def test_loop_is_lower_than_butterfly_and_farther_round(self, name: str) -> None:
        loop, butterfly = comes_from(place_named(name, "loop")), comes_from(place_named(name, "butterfly"))
        assert 5 <= loop[1] < butterfly[1] - 10
        assert 35 <= -loop[0] <= 45

    def test_rembrandt_is_as_high_as_butterfly_and_farther_round_than_loop(self, name: str) -> None:
        rembrandt, butterfly = comes_from(place_named(name, "rembrandt")), comes_from(place_named(name, "butterfly"))
        assert rembrandt[1] == pytest.approx(butterfly[1], abs=5)
        assert 45 <= -rembrandt[0] <= 62
        assert between(rembrandt[0], 0) > between(comes_from(place_named(name, "loop"))[0], 0) + 3

    def test_split_lights_from_the_side_with_a_black_card_on_the_other(self, name: str) -> None:
        placed = place_named(name, "split")
        # a panel five times as large as a bust has to stand before the wall, and so ahead of its side
        assert between(comes_from(placed)[0], -90) <= (15 if name == "bust" else 3)
        (flag,) = placed.cards
        assert flag.finish.base[0] < 0.1
        assert flag.at_cm[0] > 0
        assert flag.facing[0] < -0.5

    def test_split_does_not_wrap(self, name: str) -> None:
        placed = place_named(name, "split")
        assert sizes_away(placed) > sizes_away(place_named(name, "butterfly-close"))

    @pytest.mark.parametrize("setup", ["rim", "rim-fill"])
    def test_rim_has_its_smallest_lamp_behind_the_model_lighting_towards_the_camera(
        self, name: str, setup: str
    ) -> None:
        placed = place_named(name, setup)
        rim = lamp(placed, "rim")
        assert rim.name == "small light A"
        assert rim.place.facing[1] < 0
        assert rim.place.at_cm[1] > 0
        assert placed.backdrop.base[0] < 0.05

    @pytest.mark.parametrize("setup", ["rim", "rim-fill"])
    def test_rim_has_two_lamps_at_both_sides_or_one_behind(self, name: str, setup: str) -> None:
        placed = place_named(name, setup)
        left, *right = (comes_from(placed, one.role)[0] for one in placed.lamps if "rim" in one.role)
        assert between(left, 180) <= 60
        for other in right:
            assert left < 0 < other
            assert -left == pytest.approx(other, abs=31)
            assert lamp(placed, "second rim").stops_under_key == 0

    def test_backlight_is_low_and_hidden_behind_the_model_where_that_is_large_enough(self, name: str) -> None:
        placed = place_named(name, "backlight")
        rim = lamp(placed, "rim")
        assert rim.place.at_cm[1] > 0 or placed.shortfalls
        if name == "figure":
            assert rim.name == "small light A"
            assert rim.hidden
            assert rim.place.facing[2] > 0

    def test_rim_fill_adds_a_lamp_two_stops_under_above_and_behind_the_camera(self, name: str) -> None:
        placed = place_named(name, "rim-fill")
        fill, camera = lamp(placed, "fill"), np.asarray(placed.view.at_cm)
        assert fill.stops_under_key == 2
        assert fill.place.at_cm[0] - placed.hero_cm[0] == pytest.approx(camera[0], abs=0.5)
        assert fill.place.at_cm[1] < camera[1]
        assert fill.place.at_cm[2] > camera[2]
        assert fill.place.facing[2] < 0

    def test_broad_and_short_turn_the_face_and_light_its_near_and_its_far_side(self, name: str) -> None:
        for setup, near in (("broad", True), ("short", False)):
            face = load_setup(setup).turn_deg
            assert abs(face) >= 20
            beside = comes_from(place_named(name, setup))[0] - face
            assert abs(beside) < 90
            assert (beside * (0 - face) > 0) is near  # the camera stands at 0

    def test_clamshell_has_a_lamp_above_and_a_lamp_below_the_frame(self, name: str) -> None:
        placed = place_named(name, "clamshell")
        above, below = comes_from(placed), comes_from(placed, "fill")
        assert 30 <= above[1] <= 60
        assert below[1] < -10
        _, y, depth = placed.view.project(next(t for t in things(name, "clamshell") if t.role == "fill").spread()).T
        assert (y[depth > 0] < -1).all()

    def test_clamshell_steep_has_its_first_lamp_straight_above(self, name: str) -> None:
        placed = place_named(name, "clamshell-steep")
        assert comes_from(placed)[1] > 60
        assert comes_from(placed, "fill")[1] < -10

    def test_clamshell_soft_has_a_lamp_above_and_a_white_card_below_the_frame(self, name: str) -> None:
        placed = place_named(name, "clamshell-soft")
        assert 30 < comes_from(placed)[1] < 70
        (card,) = placed.cards
        assert card.finish.base[0] > 0.75
        assert card.facing[2] > 0.3

    def test_three_point_has_a_fill_two_stops_under_across_from_the_key_and_a_rim_behind(self, name: str) -> None:
        placed = place_named(name, "three-point")
        key, fill, rim = (comes_from(placed, role) for role in ("key", "fill", "rim"))
        assert lamp(placed, "fill").stops_under_key == 2
        assert lamp(placed, "key").stops_under_key is None
        assert key[0] < 0 < fill[0] < 90
        assert fill[1] < key[1]
        assert between(rim[0], 180) <= 45
        assert rim[1] > 0

    def test_high_key_is_white_all_round_with_a_light_for_the_backdrop(self, name: str) -> None:
        placed = place_named(name, "high-key")
        assert placed.backdrop.base[0] > 0.75
        assert placed.sweep is not None
        light = lamp(placed, "backdrop").place
        distance = np.linalg.norm(np.subtract(light.aim_cm, light.at_cm))
        assert (
            placed.sweep.behind(np.asarray(light.at_cm) + light.facing[None] * distance * 3) > 0
        )  # it meets the sheet
        assert light.facing[1] > 0
        left, right = sorted(placed.cards, key=lambda card: card.at_cm[0])
        assert left.at_cm[0] < 0 < right.at_cm[0]
        assert left.facing[0] > 0 > right.facing[0]
        assert min(left.finish.base[0], right.finish.base[0]) > 0.75

    def test_low_key_is_one_small_lamp_before_a_black_backdrop_with_black_flags(self, name: str) -> None:
        placed = place_named(name, "low-key")
        assert placed.backdrop.base[0] < 0.05
        assert [lamp.name for lamp in placed.lamps] == ["small light A"]
        assert placed.cards
        assert max(card.finish.base[0] for card in placed.cards) < 0.1

    def test_kicker_lights_one_cheek_from_behind_and_above(self, name: str) -> None:
        placed = place_named(name, "kicker")
        round_deg, rise_deg = comes_from(placed, "kicker")
        assert 135 <= abs(round_deg) <= 150
        assert rise_deg > 20
        assert lamp(placed, "kicker").name == "small light A"

    def test_pair_is_two_equal_lamps_at_45_degrees_that_mirror_each_other(self, name: str) -> None:
        placed = place_named(name, "pair")
        left, right = placed.lamps
        assert comes_from(place_named(name, "pair"))[0] == pytest.approx(-45, abs=3)
        assert (left.dimmer, left.lamp.lumens) == (right.dimmer, right.lamp.lumens)
        mirrored = (2 * placed.hero_cm[0] - right.place.at_cm[0], *right.place.at_cm[1:])
        # before a bust of 4 cm two panels of 20 cm would touch: the second stands a little farther off
        np.testing.assert_allclose(left.place.at_cm, mirrored, atol=1.6 if name == "bust" else 0.15)

    def test_overhead_lights_straight_down(self, name: str) -> None:
        placed = place_named(name, "overhead")
        assert comes_from(placed)[1] > 80
        assert placed.subject is not None
        assert lamp(placed).place.at_cm[2] > placed.subject.height_cm

    def test_raking_grazes_the_face(self, name: str) -> None:
        placed = place_named(name, "raking")
        off_the_face = np.degrees(np.arcsin(abs(lamp(placed).place.facing[1])))
        assert 2 <= off_the_face <= 20

    def test_only_setups_with_a_backdrop_of_their_own_change_it(self, name: str) -> None:
        own = {setup for setup in SETUPS if place_named(name, setup).backdrop.base[0] != 0.18}
        assert own == {"high-key", "low-key", "rim", "rim-fill"}


@pytest.mark.parametrize(
    "setup", [s for s in SETUPS if not (load_setup(s).lamps[0].from_camera or load_setup(s).turn_deg)]
)
@pytest.mark.parametrize("faces_deg", [-40.0, 25.0])
def test_the_key_turns_with_the_face(setup: str, faces_deg: float) -> None:
    ahead = comes_from(faced("figure", setup, 0.0))
    expected = direction_round(ahead[0] + faces_deg, ahead[1])
    got = -lamp(faced("figure", setup, faces_deg)).place.facing
    assert np.degrees(np.arccos(min(1.0, float(expected @ got)))) < 6  # it may have to leave the frame


@pytest.mark.parametrize(("setup", "role"), [("kicker", "kicker"), ("rim-fill", "fill"), ("three-point", "rim")])
def test_what_counts_from_the_camera_does_not_turn_with_the_face(setup: str, role: str) -> None:
    ahead, turned = (comes_from(faced("figure", setup, faces), role) for faces in (0.0, 30.0))
    assert turned == pytest.approx(ahead, abs=2)


def faced(name: str, setup: str, faces_deg: float) -> PlacedSetup:
    parts, hero = BUILDS[name]
    declared = {"subject": {"mesh": "x", "hero": hero, "faces_deg": faces_deg}, "backdrop": {"kind": "none"}}
    return place(setup, fill_model(declared, Arrangement, "test"), subject_from_parts(name, parts))
