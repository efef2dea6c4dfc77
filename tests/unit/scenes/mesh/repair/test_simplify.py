"""Meshes simplified to a number of triangles."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from scenes.mesh.colour_map import ColourMap
from scenes.mesh.piece import Piece
from scenes.mesh.repair import simplify
from scenes.mesh.repair.simplify import simplified, simplifying_hint
from tests.support.arrangements import subject_in

BALL = trimesh.creation.icosphere(5)  # 20480 triangles


def ball(at: float = 0.0, colour_map: ColourMap | None = None) -> Piece:
    return Piece(
        "ball", np.asarray(BALL.vertices + np.array([at, 0, 0]), np.float32), np.asarray(BALL.faces), None, colour_map
    )


def test_each_piece_keeps_its_share_and_its_shape() -> None:
    small = trimesh.creation.icosphere(4)  # a quarter as many
    pieces = [ball(), Piece("small", small.vertices.astype(np.float32), np.asarray(small.faces))]
    kept, notes = simplified(pieces, 5000)
    assert [len(piece.faces) for piece in kept] == pytest.approx([4000, 1000], abs=2)
    for piece in kept:
        sagitta = 2 * np.pi / np.sqrt(3) / len(piece.faces)  # edge**2 / 8 of even triangles on a unit sphere
        off = np.linalg.norm(piece.vertices, axis=1) - 1
        assert np.sqrt((off**2).mean()) < sagitta
        assert trimesh.Trimesh(piece.vertices, piece.faces).is_watertight
    assert notes == ["simplified from 25600 to 5000 triangles, as triangles = 5000 asks"]


def test_a_mesh_of_fewer_triangles_is_left_alone() -> None:
    pieces = [ball()]
    kept, notes = simplified(pieces, 20480)
    assert kept[0] is pieces[0]
    assert notes == []


def test_corners_keep_the_colours_of_where_they_are() -> None:
    upper = BALL.vertices[BALL.faces].mean(axis=1)[:, 2] > 0
    colours = np.where(upper[:, None, None], [0.8, 0.1, 0.1], [0.1, 0.1, 0.8]) * np.ones((1, 3, 1))
    (piece,), _ = simplified([ball(colour_map=ColourMap(colours.astype(np.float32)))], 4000)
    assert piece.colour_map is not None
    assert piece.colour_map.corners.shape == (len(piece.faces), 3, 3)
    height = piece.vertices[piece.faces][..., 2]
    clear = np.abs(height) > 0.06  # the edge of an old triangle, and a fifth of a new one's
    red = piece.colour_map.corners[..., 0] > 0.5
    assert clear.mean() > 0.9
    np.testing.assert_array_equal(red[clear], height[clear] > 0)


def test_a_piece_with_a_picture_keeps_its_triangles_and_it_is_said() -> None:
    paint = ColourMap(np.zeros((len(BALL.faces), 3, 2), np.float32), np.zeros((2, 2, 3), np.uint8))
    painted, plain = ball(colour_map=paint), ball(5)
    kept, notes = simplified([painted, plain], 8000)
    assert kept[0] is painted
    assert len(kept[1].faces) == pytest.approx(4000, abs=2)
    assert notes[1:] == ["parts with a picture keep all their triangles"]


def test_the_stated_size_is_that_of_the_simplified_mesh(tmp_path: Path) -> None:
    BALL.export(tmp_path / "ball.stl")
    subject = subject_in(tmp_path / "ball.stl", height_cm=10, triangles=1000)
    assert len(subject.parts[0].faces) == pytest.approx(1000, abs=2)
    assert subject.height_cm == pytest.approx(10, rel=1e-6)


def test_very_many_triangles_bring_an_offer(monkeypatch: pytest.MonkeyPatch) -> None:
    assert simplifying_hint([ball()]) == []
    monkeypatch.setattr(simplify, "MANY_TRIANGLES", 20_000)
    (note,) = simplifying_hint([ball()])
    assert note.startswith("20480 triangles take long")
    assert "triangles = 1000000 under [subject]" in note
