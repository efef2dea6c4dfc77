"""Where a wash settles: in grooves and inner corners, not on flats, edges, domes and gentle hollows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from materials.arrays import Array
from render.images.store.store import Store
from render.recesses import with_recesses
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Part, Subject

WIDTH_CM = 0.05
WIDTH_MM = 10 * WIDTH_CM
SIDE_CM, PITCH_CM = 8.0, 1.0


def subject(vertices: Array, faces: NDArray[np.int64], cm: float = 1.0) -> Subject:
    return subject_from_parts("model", [("model", vertices * cm, faces)])


def grooved(width_cm: float, deep_cm: float, *, flat_bottom: bool = False, rows: int = 40) -> Subject:
    """Return an upright plate with upright grooves, V or U, of `rows` strips from below to above."""
    x, y = [0.0], [0.0]
    while x[-1] < SIDE_CM:
        start = x[-1] + PITCH_CM - width_cm
        if flat_bottom:
            x += [start, start + 1e-5, start + width_cm - 1e-5, start + width_cm]
            y += [0.0, deep_cm, deep_cm, 0.0]
        else:
            x += [start, start + width_cm / 2, start + width_cm]
            y += [0.0, deep_cm, 0.0]
    heights = np.linspace(0, SIDE_CM, rows + 1)
    vertices = np.array([[across, deep, up] for across, deep in zip(x, y, strict=True) for up in heights])
    count = len(heights)
    corner = np.add.outer(np.arange(len(x) - 1) * count, np.arange(rows)).ravel()
    quads = np.stack([corner, corner + count, corner + count + 1, corner + 1], axis=1)
    return subject(vertices, np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]]))


def recesses(measured: Subject, width_mm: float) -> Subject:
    """Return the subject with its recesses measured, on an empty store."""
    with TemporaryDirectory() as folder:
        return with_recesses(measured, width_mm, Store(Path(folder)))


def settled(measured: Subject) -> tuple[Part, Array, Array]:
    """Return the part, how deep its corners lie, and how much of a wash settles there, away from the plate's ends."""
    (part,) = recesses(measured, WIDTH_MM).parts
    assert part.recess is not None
    corners = part.vertices_cm[part.faces].astype(float)
    inner = (np.abs(corners[..., 2] - SIDE_CM / 2) < SIDE_CM / 2 - 0.5).all(axis=1)
    return part, (corners[..., 1] - corners[..., 1].min())[inner], part.recess[inner].astype(float)


@pytest.mark.parametrize("deep", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("flat_bottom", [False, True])
def test_it_settles_at_the_bottom_of_a_groove_and_not_on_the_flats_beside_it(deep: float, flat_bottom: bool) -> None:
    _, depth, wash = settled(grooved(WIDTH_CM, deep * WIDTH_CM, flat_bottom=flat_bottom))
    flat = np.ptp(depth, axis=1) < 1e-4
    assert wash[depth > 0.99 * depth.max()].mean() > 0.5
    assert wash[flat & (depth.max(axis=1) < 1e-4)].max() < 0.02


def test_a_deeper_groove_takes_more() -> None:
    bottoms = []
    for deep in (0.2, 0.25, 0.5):
        _, depth, wash = settled(grooved(WIDTH_CM, deep * WIDTH_CM))
        bottoms.append(wash[depth > 0.99 * depth.max()].mean())
    assert bottoms == sorted(bottoms)
    assert bottoms[-1] > bottoms[0] + 0.3


def box() -> tuple[Array, NDArray[np.int64]]:
    mesh = trimesh.creation.box((4, 4, 4)).subdivide_to_size(0.1)
    return np.asarray(mesh.vertices), np.asarray(mesh.faces)


def ball() -> tuple[Array, NDArray[np.int64]]:
    mesh = trimesh.creation.icosphere(4, radius=4)
    return np.asarray(mesh.vertices), np.asarray(mesh.faces)


@pytest.mark.parametrize("shape", [box, ball])
def test_none_settles_on_what_bulges(shape: Callable[[], tuple[Array, NDArray[np.int64]]]) -> None:
    (part,) = recesses(subject(*shape()), WIDTH_MM).parts
    assert part.recess is not None
    assert part.recess.max() < 0.02


@pytest.mark.slow
def test_it_settles_where_two_parts_meet_on_the_finer_one() -> None:
    plate = trimesh.creation.box((4, 4, 0.5)).subdivide_to_size(0.05)
    post = trimesh.creation.cylinder(radius=0.5, height=2, sections=64).subdivide_to_size(0.05)
    post.apply_translation((0, 0, 1.25))
    made = subject_from_parts("model", [("plate", plate.vertices, plate.faces), ("post", post.vertices, post.faces)])
    washed = recesses(made, WIDTH_MM)
    for part in washed.parts:
        assert part.recess is not None
        corners = part.vertices_cm[part.faces]
        beside = np.abs(np.hypot(corners[..., 0], corners[..., 1]) - 0.5) < 0.03
        foot = beside & (np.abs(corners[..., 2] - 0.5) < 0.03)
        away = np.hypot(corners[..., 0], corners[..., 1]) > 0.8
        assert part.recess[foot].mean() > 0.2
        assert not away.any() or part.recess[away & (np.abs(corners[..., 2] - 0.5) < 0.01)].max() < 0.02


def test_the_model_and_its_lines_both_larger_take_the_same() -> None:
    one = settled(grooved(WIDTH_CM, WIDTH_CM))[2].mean()
    (part,) = recesses(subject_of_twice(), 2 * WIDTH_MM).parts
    assert part.recess is not None
    corners = part.vertices_cm[part.faces]
    inner = (np.abs(corners[..., 2] - SIDE_CM) < SIDE_CM - 1.0).all(axis=1)
    assert part.recess[inner].mean() == pytest.approx(one, rel=0.05)


def subject_of_twice() -> Subject:
    (part,) = grooved(WIDTH_CM, WIDTH_CM).parts
    return subject(part.vertices_cm.astype(float), part.faces.astype(np.int64), 2.0)


def wash_notes(measured: Subject, width_mm: float) -> list[str]:
    return [note for note in recesses(measured, width_mm).notes if note.startswith("subject.wash")]


def test_where_a_wash_finds_no_recess_a_note_names_a_width_that_finds_one() -> None:
    assert wash_notes(grooved(WIDTH_CM, WIDTH_CM), WIDTH_MM) == []
    (note,) = wash_notes(grooved(WIDTH_CM, WIDTH_CM), WIDTH_MM / 20)
    assert note.startswith("subject.wash: no recess 0.025 mm wide on this mesh, whose triangles are ")
    assert " mm wide: width_mm = 0.1 would cover " in note


def test_a_smooth_ball_has_no_recess_at_all() -> None:
    (note,) = wash_notes(subject(*ball()), WIDTH_MM)
    assert note.endswith(" mm wide, and none up to 5 mm: a wash settles nowhere")


def test_a_mesh_that_is_too_coarse_for_the_lines_says_so() -> None:
    notes = wash_notes(grooved(WIDTH_CM, WIDTH_CM), WIDTH_MM / 5)
    assert notes == ["subject.wash: the mesh is too coarse for lines of 0.1 mm on most of model"]


def test_a_wash_shows_between_scales_that_are_a_quarter_as_deep_as_wide() -> None:
    _, depth, wash = settled(grooved(WIDTH_CM, 0.25 * WIDTH_CM))
    assert wash[depth > 0.99 * depth.max()].mean() > 0.3
