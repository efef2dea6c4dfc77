"""Closed shells that are inside out are turned; hollows and open ones are left as they are."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from scenes.mesh.repair.cleaning import cleaned
from scenes.mesh.repair.shells import inside_out, shells

BALL = trimesh.creation.icosphere(2)


def ball(at: float = 0.0, radius: float = 1.0, *, turned: bool = False, open_: bool = False) -> trimesh.Trimesh:
    made = BALL.copy().apply_scale(radius).apply_translation((at, 0, 0))
    if turned:
        made.invert()
    return trimesh.Trimesh(made.vertices, made.faces[1:] if open_ else made.faces, process=False)


@pytest.mark.parametrize(
    ("balls", "wrong"),
    [
        ([{}], []),
        ([{"turned": True}], [0]),
        ([{}, {"at": 5, "turned": True}, {"at": 9}], [1]),
        ([{"radius": 2}, {"radius": 1.5, "turned": True}], []),  # a hollow ball
        ([{"radius": 2}, {"at": 9, "turned": True, "open_": True}], []),
        ([{"radius": 2, "open_": True}, {"at": 9, "turned": True}], [1]),
        ([{"at": 1e4}, {"at": 1e4 + 3, "turned": True}], [1]),  # far from the origin
    ],
)
def test_shells_that_are_inside_out_are_found(balls: list[dict[str, float]], wrong: list[int]) -> None:
    made = [ball(**said) for said in balls]  # type: ignore[arg-type]
    whole = trimesh.util.concatenate(made)
    of = np.repeat(np.arange(len(made)), [len(mesh.faces) for mesh in made])
    faces, count = inside_out(np.asarray(whole.vertices, np.float32), np.asarray(whole.faces))
    assert count == len(wrong)
    np.testing.assert_array_equal(faces, np.isin(of, wrong))


def test_shells_have_their_own_bounds() -> None:
    whole = trimesh.util.concatenate([ball(), ball(5, 2)])
    found = shells(np.asarray(whole.vertices, np.float32), np.asarray(whole.faces))
    first, second = found.label[0], found.label[-1]
    np.testing.assert_allclose(found.low[[first, second], 0], [-1, 3], atol=1e-6)
    np.testing.assert_allclose(found.high[[first, second], 0], [1, 7], atol=1e-6)


def test_what_was_turned_is_told() -> None:
    mixed = trimesh.util.concatenate([ball(), ball(5, turned=True), ball(9, turned=True)])
    mended = cleaned(mixed.vertices, mixed.faces)
    assert mended.findings == ["had 2 closed pieces inside out, turned now"]
    assert trimesh.Trimesh(mended.vertices, mended.faces).volume == pytest.approx(3 * BALL.volume, rel=1e-5)
    assert cleaned(BALL.vertices, BALL.faces[:, ::-1]).findings == ["was found inside out and turned"]


def test_of_no_triangles_none_is_inside_out() -> None:
    assert inside_out(np.zeros((0, 3), np.float32), np.zeros((0, 3), np.int64))[1] == 0
