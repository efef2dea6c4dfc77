"""A lump taken apart, what is far away, what is hidden, several files as one, and print supports noticed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from scenes.errors import InputError
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.piece import Piece
from scenes.mesh.repair.separation import MOST_PIECES, separated, strays
from scenes.subject.seating import grouped_notes, seated, uniquely_named
from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in

TEN_CM = {"height_cm": 10}


def box(size: tuple[float, float, float], at: tuple[float, float, float] = (0, 0, 0)) -> trimesh.Trimesh:
    return trimesh.creation.box(size).apply_translation(at)


def written(path: Path, *meshes: trimesh.Trimesh) -> Path:
    """Write meshes as one lump."""
    trimesh.util.concatenate(meshes).export(path)
    return path


def names(subject: Subject) -> list[str]:
    return [part.name for part in subject.parts]


def lump(*meshes: trimesh.Trimesh) -> Piece:
    whole = trimesh.util.concatenate(meshes)
    return Piece("lump", np.asarray(whole.vertices, np.float32), np.asarray(whole.faces))


def test_a_lump_of_pieces_is_taken_apart_the_largest_first(tmp_path: Path) -> None:
    path = written(tmp_path / "tank.stl", box((1, 1, 1)), box((4, 4, 4), (9, 0, 0)), box((2, 2, 2), (5, 0, 0)))
    subject = subject_in(path, **TEN_CM)
    assert names(subject) == ["piece 1", "piece 2", "piece 3"]
    assert [round(float(np.ptp(part.vertices_cm[:, 2])), 4) for part in subject.parts] == [10, 5, 2.5]
    assert subject.matching("piece *") == subject.parts


def test_triangles_of_a_lump_in_another_order_give_the_same_pieces() -> None:
    whole = lump(box((1, 1, 1)), box((4, 4, 4), (9, 0, 0)), box((2, 2, 2), (5, 0, 0)))
    order = np.random.default_rng(3).permutation(len(whole.faces))
    shuffled = Piece("lump", whole.vertices, whole.faces[order])
    for one, other in zip(separated(whole)[0], separated(shuffled)[0], strict=True):
        assert one.name == other.name
        np.testing.assert_array_equal(np.unique(one.vertices, axis=0), np.unique(other.vertices, axis=0))


@pytest.mark.parametrize(("count", "parts"), [(1, 1), (MOST_PIECES, MOST_PIECES), (MOST_PIECES + 1, 1)])
def test_as_many_pieces_as_can_be_named_become_parts(count: int, parts: int) -> None:
    found, notes = separated(lump(*(box((1, 1, 1), (2 * i, 0, 0)) for i in range(count))))
    assert len(found) == parts
    assert sum(len(piece.faces) for piece in found) == 12 * count
    assert notes == (
        [f"it is one part of {count} connected pieces, too many to be named one by one"] if count > MOST_PIECES else []
    )


def test_a_lump_that_hangs_together_by_a_point_stays_one() -> None:
    assert len(separated(lump(box((1, 1, 1)), box((1, 1, 1), (1, 1, 1))))[0]) == 2  # unmerged
    touching = trimesh.util.concatenate([box((1, 1, 1)), box((1, 1, 1), (1, 1, 1))])
    touching.merge_vertices()
    (whole,), _ = separated(lump(touching))
    assert whole.name == "lump"


def test_crumbs_stay_together_in_a_part_of_their_own() -> None:
    crumb = trimesh.Trimesh([[0, 0, 0], [0.1, 0, 0], [0, 0.1, 0]], [[0, 1, 2]])
    crumbs = [crumb.copy().apply_translation((2 + i, 0, 0)) for i in range(3)]
    found, notes = separated(lump(box((1, 1, 1)), box((2, 2, 2), (9, 0, 0)), *crumbs))
    assert [(piece.name, len(piece.faces)) for piece in found] == [("piece 1", 12), ("piece 2", 12), ("crumbs", 3)]
    assert notes == []


def test_crumbs_alone_stay_one_part_and_it_is_said() -> None:
    one, number = box((1, 1, 1)), np.arange(10_100)[:, None, None]
    at = number * np.array([2, 0, 0])
    points, faces = (one.vertices + at).reshape(-1, 3), (one.faces + 8 * number).reshape(-1, 3)
    (whole,), notes = separated(Piece("lump", points.astype(np.float32), faces))
    assert whole.name == "lump"
    assert notes == ["it is one part of 10100 connected pieces, too many to be named one by one"]


def test_a_stray_piece_far_away_does_not_spoil_the_size(tmp_path: Path) -> None:
    ball = trimesh.creation.icosphere(3, radius=5)
    subject = subject_in(written(tmp_path / "a.stl", ball, box((0.1, 0.1, 0.1), (0, 0, 30))), **TEN_CM)
    assert names(subject) == ["model"]
    np.testing.assert_allclose(np.ptp(subject.bounds_cm, axis=0), 10, rtol=1e-3)
    assert subject.notes == ("left out one connected piece: tiny, and farther away than the model is large",)


def test_a_stray_part_is_left_out_by_its_name(tmp_path: Path) -> None:
    scene = trimesh.Scene({"hull": box((10, 10, 10)), "bolt": box((0.1, 0.1, 0.1), (0, 0, 30))})
    scene.export(tmp_path / "a.glb")
    subject = subject_in(tmp_path / "a.glb", **TEN_CM)
    assert names(subject) == ["hull"]
    assert subject.notes == ("left out 'bolt': tiny, and farther away than the model is large",)


@pytest.mark.parametrize(
    ("areas", "places", "stray"),
    [
        ([1000, 0.5], [0, 5], [False, True]),
        ([1000, 0.5], [0, 1.9], [False, False]),  # no farther than it is large
        ([1000, 50], [0, 5], [False, False]),  # far, but not tiny
        ([1000, 0.5, 0.5], [0, 1.9, 3.8], [False, False, False]),  # a chain leads there
        ([0.5, 1000, 0.5], [-9, 0, 9], [True, False, True]),
        ([1, 1, 1], [0, 0, 0], [False, False, False]),
    ],
)
def test_a_stray_is_tiny_and_farther_from_the_rest_than_that_is_large(
    areas: list[float], places: list[float], stray: list[bool]
) -> None:
    low = np.array([[x, 0, 0] for x in places], float)
    assert strays(np.array(areas, float), low, low + 1).tolist() == stray


def test_hidden_parts_are_left_out_before_the_model_is_sized(tmp_path: Path) -> None:
    path = written(tmp_path / "a.stl", box((1, 1, 1)), box((2, 2, 4), (5, 0, 0)))
    subject = subject_in(path, **TEN_CM, hide=("PIECE 1", "nose*"))
    assert names(subject) == ["piece 2"]
    np.testing.assert_allclose(np.ptp(subject.bounds_cm, axis=0), 10, rtol=1e-5)
    assert subject.notes == ("subject.hide: nothing is called 'nose*'",)


def test_hiding_everything_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"subject.hide = \['\*'\] hides every part of a.stl: leave one in sight"):
        subject_in(written(tmp_path / "a.stl", box((1, 1, 1))), **TEN_CM, hide=("*",))


def test_several_files_share_one_frame_one_size_and_are_named_after_their_files(tmp_path: Path) -> None:
    hull = written(tmp_path / "hull.stl", box((4, 8, 2)))
    trimesh.Scene({"barrel": box((1, 4, 1), (0, -4, 2)), "roof": box((2, 2, 2), (0, 0, 2))}).export(
        tmp_path / "top.3mf"
    )
    turret = written(tmp_path / "turret.stl", box((2, 2, 2), (0, 0, 2)))
    subject = subject_in([hull, turret], height_cm=8)
    assert subject.name == "hull"
    assert names(subject) == ["hull", "turret"]
    np.testing.assert_allclose(subject.bounds_cm, [[-4, -8, 0], [4, 8, 8]], atol=1e-5)
    np.testing.assert_allclose(subject.parts[1].vertices_cm.min(axis=0), [-2, -2, 4], atol=1e-5)
    with pytest.raises(InputError, match=r"hull.stl and top.3mf differ in unit or axes \(no unit and millimeter\)"):
        subject_in([hull, tmp_path / "top.3mf"], **TEN_CM)
    twice = subject_in([tmp_path / "top.3mf", tmp_path / "top.3mf"], **TEN_CM)
    assert names(twice) == ["top barrel", "top roof", "top barrel 2", "top roof 2"]


def test_paint_goes_with_its_corners_through_splitting_cleaning_and_turning() -> None:
    one, other = box((2, 2, 2)), box((1, 1, 1), (5, 0, 0))
    other.invert()
    whole = lump(one, other)
    doubled = np.concatenate([whole.faces[:3], whole.faces])  # three triangles are there twice
    doubled[5] = doubled[5][::-1]
    corners = (whole.vertices[doubled] + 1) / 10
    pieces, _ = separated(Piece("lump", whole.vertices, doubled, None, ColourMap(corners)))
    subject = seated("lump", pieces, [], "a.stl")
    assert sum(len(part.faces) for part in subject.parts) == 24
    low = [(whole.vertices.min(axis=0) + whole.vertices.max(axis=0))[0] / 2, 0, -1]
    for part in subject.parts:
        assert part.colour_map is not None
        np.testing.assert_allclose(part.colour_map.corners * 10 - 1 - low, part.vertices_cm[part.faces], atol=1e-5)
        assert volume(part.vertices_cm, part.faces) > 0


def volume(points: NDArray[np.float32], faces: NDArray[np.int32]) -> float:
    a, b, c = points.astype(float)[faces].transpose(1, 0, 2)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def column(x: float, y: float, height: float, top: float, foot: float = 0.4) -> trimesh.Trimesh:
    """Return a square column on the floor, so wide at its foot and its top."""
    made = box((1, 1, height), (0, 0, height / 2))
    wide = np.where(made.vertices[:, 2:] > height / 2, top, foot)
    return trimesh.Trimesh(made.vertices * np.hstack([wide, wide, np.ones_like(wide)]) + [x, y, 0], made.faces)


HUNG = box((10, 6, 6), (0, 0, 7))
TAPERED = [column(x, y, 4, 0.1) for x in (-4, 0, 4) for y in (-2, 2)]
RAFT = box((10, 6, 0.2), (0, 0, 0.1))


@pytest.mark.parametrize(
    ("meshes", "found"),
    [
        ([HUNG, *TAPERED], 6),
        ([HUNG, *TAPERED, RAFT], 7),
        ([HUNG, *TAPERED[:4]], 0),  # four legs or wheels
        ([HUNG, *(column(x, y, 4, 0.4) for x in (-4, 0, 4) for y in (-2, 2))], 0),  # a pier
        ([box((10, 6, 6), (0, 0, 3)), *TAPERED], 0),  # a fence before a house
        ([HUNG, *(m.copy().apply_translation((0, 0, 10)) for m in TAPERED)], 0),  # masts on a deck
        (TAPERED, 0),  # a forest
    ],
)
def test_print_supports_are_noticed_by_their_shape_and_nothing_else_is_taken_for_them(
    tmp_path: Path, meshes: list[trimesh.Trimesh], found: int
) -> None:
    notes = subject_in(written(tmp_path / "a.stl", *meshes), **TEN_CM).notes
    assert len(notes) == (1 if found else 0)
    assert all(note.startswith(f"{found} parts look like print supports: if they are, leave them") for note in notes)


def test_parts_called_supports_are_noticed_and_aircraft_are_not(tmp_path: Path) -> None:
    parts = {"aircraft": HUNG, "Support_1": TAPERED[0], "hat brim": TAPERED[5]}
    trimesh.Scene(parts).export(tmp_path / "a.3mf")
    (note,) = subject_in(tmp_path / "a.3mf", **TEN_CM).notes
    assert note.endswith('as print supports are: leave them out with hide = ["Support_1"] under [subject]')


def test_equal_findings_of_many_parts_are_told_once() -> None:
    found = [(f"part {i}", f"is not closed: {i} edges of one triangle only") for i in (1, 2, 3, 4)]
    assert grouped_notes([*found, ("hat", "was found inside out and turned")]) == [
        "4 parts are not closed: 10 edges of one triangle only (part 1, part 2, part 3 and 1 more)",
        "part 'hat' was found inside out and turned",
    ]
    assert grouped_notes([(name, "was found inside out and turned") for name in "abcde"]) == [
        "5 parts were found inside out and turned (a, b, c and 2 more)"
    ]


def test_names_differ_in_capitals_or_not_and_from_those_that_are_taken() -> None:
    pieces = [Piece(name, np.zeros((0, 3)), np.zeros((0, 3), int)) for name in ("Hull", "hull", " ", "plinth")]
    assert [piece.name for piece in uniquely_named(pieces, {"plinth"})] == ["Hull", "hull 2", "model", "plinth 2"]
