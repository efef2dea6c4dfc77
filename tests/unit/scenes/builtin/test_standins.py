"""Stand-ins: whole, on the table, in their size, finished, and honest about what they are."""

from __future__ import annotations

from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import read_arrangement, resolve, resolve_values
from scenes.arrangement.subject_model import PartFinish
from scenes.builtin.shapes.sweeps import Mesh, volume
from scenes.builtin.standin import STAND_INS, STANDIN_SIZE_CM, load_standin, standin_words, usual_parts
from scenes.errors import InputError
from scenes.mesh.repair.cleaning import cleaned

loaded = cache(load_standin)
FOLDER = Folder(Path(), "a.toml")


def test_the_kinds_are_those_that_builders_ask_for() -> None:
    assert set(STAND_INS) == {"figure", "bust", "aircraft", "tank", "car", "ship", "spoon"}


@pytest.mark.parametrize("name", STAND_INS)
def test_every_part_is_closed_and_looks_outwards(name: str) -> None:
    for part, vertices, faces in loaded(name):
        assert volume(Mesh(vertices.astype(float), faces.astype(np.int64))) > 0, part
        findings = [finding for finding in cleaned(vertices, faces).findings if "without area" not in finding]
        assert findings == [], part


@pytest.mark.parametrize(("name", "said_cm"), [*((name, None) for name in STAND_INS), ("spoon", 7.5), ("ship", 7.5)])
def test_it_stands_on_the_table_in_its_usual_size_or_in_the_one_that_is_said(
    name: str, said_cm: float | None, tmp_path: Path
) -> None:
    key, cm = STANDIN_SIZE_CM[name]
    axis = {"width_cm": 0, "length_cm": 1, "height_cm": 2}[key]
    said = "" if said_cm is None else f"{key} = {said_cm}"
    (tmp_path / "a.toml").write_text(f'[subject]\nmesh = "stand-in:{name}"\nfaces_deg = 0\n{said}\n')
    subject = resolve(read_arrangement(tmp_path / "a.toml"), Folder(tmp_path, "a.toml")).subject
    assert subject is not None
    assert np.ptp(subject.bounds_cm, axis=0)[axis] == pytest.approx(said_cm or cm, rel=1e-5)
    assert subject.bounds_cm[0, 2] == pytest.approx(0, abs=1e-6)
    assert subject.notes == ()


@pytest.mark.parametrize("name", STAND_INS)
def test_every_finish_is_of_a_part_that_it_has(name: str) -> None:
    parts = [part for part, _, _ in loaded(name)]
    finishes = usual_parts(f"stand-in:{name}")
    assert finishes
    assert all(any(fnmatchcase(part, said.match) for part in parts) for said in finishes)


@pytest.mark.parametrize("name", STAND_INS)
def test_it_is_fine_enough_to_be_lit_and_light_enough_to_be_traced_fast_and_always_the_same(name: str) -> None:
    first, again = loaded(name), load_standin(name)
    assert 5_000 <= sum(len(faces) for _, _, faces in first) <= 60_000
    assert all(np.array_equal(a[1], b[1]) and np.array_equal(a[2], b[2]) for a, b in zip(first, again, strict=True))


@pytest.mark.parametrize("name", STAND_INS)
def test_none_of_its_pieces_floats(name: str) -> None:
    """From the table up, the box of every lump meets the box of one that is held."""
    lumps = [lump for _, vertices, faces in loaded(name) for lump in _lumps(vertices, faces)]
    low, high = np.array([lump.min(axis=0) for lump in lumps]), np.array([lump.max(axis=0) for lump in lumps])
    touch: NDArray[np.bool_] = np.all(low[:, None] <= high[None] + 0.01, axis=2)
    touch = np.logical_and(touch, touch.T)
    held = np.asarray(low[:, 2] < 0.05)
    while (more := np.asarray(held | touch[:, held].any(axis=1))).sum() > held.sum():
        held = more
    assert held.all()


@pytest.mark.parametrize("name", ["figure", "bust"])
def test_the_face_has_a_nose_before_lips_and_chin_and_sockets_behind_brow_and_cheeks(name: str) -> None:
    parts = {part: vertices.astype(float) for part, vertices, _ in loaded(name)}
    face = parts["face"]
    half = np.ptp(face[:, 2]) / 2
    at = (face - (0, 0, (face[:, 2].max() + face[:, 2].min()) / 2)) / half

    def front(x: float, low: float, high: float) -> float:
        return float(-at[(np.abs(at[:, 0] - x) < 0.07) & (at[:, 2] > low) & (at[:, 2] < high), 1].min())

    nose, lips, chin = front(0, -0.36, -0.2), front(0, -0.65, -0.45), front(0, -0.95, -0.75)
    brow, socket, cheek = front(0.27, 0.2, 0.32), front(0.27, 0.1, 0.16), front(0.33, -0.25, -0.05)
    assert nose > lips + 0.08 > chin
    assert socket < brow - 0.01
    assert cheek > 0.5


def test_a_car_has_clear_lenses_before_its_reflectors_and_red_ones_behind() -> None:
    parts = {part: vertices for part, vertices, _ in loaded("car")}
    lens, reflector, tail = (parts[name] for name in ("head lamps", "reflectors", "tail lamps"))
    assert lens[:, 1].max() < reflector[:, 1].max() < 0 < tail[:, 1].min()
    for side in (-1, 1):
        inside, over = (part[np.sign(part[:, 0]) == side][:, [0, 2]] for part in (reflector, lens))
        np.testing.assert_allclose(inside.min(axis=0), over.min(axis=0), atol=0.02)
        np.testing.assert_allclose(inside.max(axis=0), over.max(axis=0), atol=0.02)
    clear = {said.match for said in usual_parts("stand-in:car") if said.clear}
    assert clear == {"head lamps"}


def test_hands_reach_from_their_cuffs_to_the_belt_and_to_the_thigh() -> None:
    parts = {part: vertices for part, vertices, _ in loaded("figure")}
    right, left = (parts["hands"][np.sign(parts["hands"][:, 0]) == side] for side in (-1, 1))
    belt = parts["belt"]
    assert belt[:, 2].min() < right[:, 2].mean() < belt[:, 2].max()
    assert right[:, 0].max() > belt[:, 0].min() / 2
    assert parts["trousers"][:, 2].min() < left[:, 2].min() < parts["coat"][:, 2].min() + 1.5


def test_spoons_show_a_back_and_a_bowl() -> None:
    """Half way up the bowls, the middle of one is nearer the viewer than its rim, of the other farther."""
    points = {part: vertices.astype(float) for part, vertices, _ in loaded("spoon")}["spoon"]
    level = points[np.abs(points[:, 2] - 12.7) < 0.35]

    def bulge(side: int) -> float:
        bowl = level[np.sign(level[:, 0]) == side]
        across = bowl[:, 0] - (bowl[:, 0].min() + bowl[:, 0].max()) / 2
        return float(bowl[np.abs(across) > 1.3, 1].mean() - bowl[np.abs(across) < 0.3, 1].mean())

    assert bulge(-1) > 0.3
    assert bulge(1) < -0.3


def test_each_is_of_its_kind_and_stands_as_is_usual_of_it() -> None:
    kinds = {name: kind_and_turn(mesh=f"stand-in:{name}") for name in STAND_INS}
    assert kinds == {
        "figure": ("figure", 0), "bust": ("bust", 0), "aircraft": ("aircraft", 35), "tank": ("vehicle", 40),
        "car": ("vehicle", 40), "ship": ("ship", 60), "spoon": ("object", 0),
    }  # fmt: skip


def test_a_kind_or_a_direction_in_the_file_goes_before_what_is_usual() -> None:
    assert kind_and_turn(mesh="stand-in:tank", kind="object") == ("object", 0)
    assert kind_and_turn(mesh="stand-in:tank", faces_deg=0) == ("vehicle", 0)


def kind_and_turn(**subject: Any) -> tuple[str, float]:
    arrangement = resolve_values(fill_model({"subject": subject}, Arrangement, "a.toml"), FOLDER)
    return arrangement.kind, arrangement.faces_deg


def test_what_the_arrangement_says_goes_before_what_is_usual() -> None:
    own = {"mesh": "stand-in:car", "faces_deg": 5, "parts": [{"match": "body", "base": "#102030"}]}
    arrangement = resolve_values(fill_model({"subject": own}, Arrangement, "a.toml"), FOLDER)
    usual, said = usual_parts("stand-in:car"), PartFinish(match="body", base="#102030")
    assert arrangement.faces_deg == 5
    assert [rule.declared for rule in arrangement.finishes.rules] == [*usual, said]


def test_an_unknown_one_is_told_with_the_nearest() -> None:
    with pytest.raises(InputError, match="no stand-in is called 'shop'"):
        resolve_values(fill_model({"subject": {"mesh": "stand-in:shop"}}, Arrangement, "a.toml"), FOLDER)


@pytest.mark.parametrize("name", STAND_INS)
def test_it_says_what_to_trust_and_what_not(name: str) -> None:
    assert ("trust them for" if name == "spoon" else "trust lamp places") in standin_words(name)
    assert "not" in standin_words(name)


def _lumps(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> list[NDArray[np.float32]]:
    """Return the points of each piece that hangs together."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    ends = faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    links = coo_matrix((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(len(vertices),) * 2)
    count, piece = connected_components(links, directed=False)
    return [vertices[piece == i] for i in range(count)]
