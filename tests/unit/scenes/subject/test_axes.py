"""A file's own axes turned into the table's."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.errors import InputError
from scenes.subject.axes import AXES, upright

ACROSS = [(up, front) for up in AXES for front in AXES if up[-1] != front[-1]]
ALONG = [(up, front) for up in AXES for front in AXES if up[-1] == front[-1]]


@pytest.mark.parametrize(("up", "front"), ACROSS)
def test_every_pair_of_axes_turns_up_to_z_and_the_face_to_the_camera(up: str, front: str) -> None:
    rotation = upright(up, front)
    np.testing.assert_array_equal(rotation @ AXES[up], [0, 0, 1])
    np.testing.assert_array_equal(rotation @ AXES[front], [0, -1, 0])


@pytest.mark.parametrize(("up", "front"), ACROSS)
def test_no_pair_of_axes_mirrors_or_stretches(up: str, front: str) -> None:
    rotation = upright(up, front)
    np.testing.assert_array_equal(rotation @ rotation.T, np.eye(3))
    assert np.linalg.det(rotation) == pytest.approx(1)


@pytest.mark.parametrize(("up", "front"), ALONG)
def test_a_face_that_looks_along_up_is_refused(up: str, front: str) -> None:
    with pytest.raises(InputError) as caught:
        upright(up, front)
    told = f"front = '{front}' lies along up = '{up}': the face looks to one of the other axes"
    assert str(caught.value) == told


@pytest.mark.parametrize("up", AXES)
def test_every_up_has_a_usual_front(up: str) -> None:
    assert np.linalg.det(upright(up)) == pytest.approx(1)
    np.testing.assert_array_equal(upright(up) @ AXES[up], [0, 0, 1])


def test_a_z_up_model_faces_minus_y_and_a_y_up_model_plus_z() -> None:
    np.testing.assert_array_equal(upright("z"), np.eye(3))
    np.testing.assert_array_equal(upright("y") @ [0, 0, 1], [0, -1, 0])


@pytest.mark.parametrize(("up", "front", "told"), [("w", None, "up is 'w'"), ("z", "left", "front is 'left'")])
def test_an_axis_that_is_none_is_refused_by_name(up: str, front: str | None, told: str) -> None:
    with pytest.raises(InputError) as caught:
        upright(up, front)
    assert str(caught.value) == f"{told} (there are: -x, -y, -z, x, y, z)"
