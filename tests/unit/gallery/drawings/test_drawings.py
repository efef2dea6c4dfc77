"""The pictures of a model: how it stands with the axes of its file, how else it may stand, and its parts."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from gallery.drawings.axis_marks import BELOW_PX, with_axis_marks
from gallery.drawings.parts import FINER, coloured, draw_parts
from gallery.drawings.unlit import UnlitModel, axes_from, pixels_of
from gallery.drawings.views import VIEWS, draw_views
from gallery.inputs import open_input
from gallery.sheet.layout import PAPER
from scenes.arrangement.resolving import ResolvedArrangement


@pytest.fixture
def pair(tmp_path: Path) -> ResolvedArrangement:
    """Return a red box at camera left and a blue one, a third as wide, at camera right."""
    scene = trimesh.Scene()
    for name, x, width, colour in (("left", -2, 6, [230, 20, 20, 255]), ("right", 6, 2, [20, 20, 230, 255])):
        box = trimesh.creation.box((width, 4, 4)).apply_translation((x, 0, 0))
        box.visual = trimesh.visual.TextureVisuals(material=trimesh.visual.material.PBRMaterial(baseColorFactor=colour))
        scene.add_geometry(box, geom_name=name, node_name=name)
    scene.export(tmp_path / "a.glb")
    return open_input(tmp_path / "a.glb", {"height_cm": 4.0})


def front(pair: ResolvedArrangement) -> tuple[UnlitModel, np.ndarray]:
    assert pair.model is not None
    return UnlitModel(pair.model, pair.finishes), axes_from(np.array([0.0, -1.0, 0.0]))


def test_a_picture_shows_the_colours_of_the_file_where_its_parts_are(pair: ResolvedArrangement) -> None:
    unlit, axes = front(pair)
    camera = unlit.camera(axes, 90, 60)
    picture = unlit.draw(camera).astype(int)
    for part, channel in zip(unlit.model.parts, (0, 2), strict=True):
        ((x, y),) = pixels_of(part.vertices_cm.astype(float).mean(axis=0)[None], camera)
        pixel = picture[int(y), int(x)]
        assert pixel.argmax() == channel
        assert pixel.max() > 2 * np.sort(pixel)[1]
    assert (picture[0] == PAPER).all()


def test_the_part_of_each_pixel_is_the_one_that_is_seen_there(pair: ResolvedArrangement) -> None:
    unlit, axes = front(pair)
    indices = unlit.part_indices(unlit.camera(axes, 90, 60))
    shares = [(indices == i).sum() for i in (0, 1)]
    assert shares[0] == pytest.approx(3 * shares[1], rel=0.1)
    assert indices[0, 0] == -1
    assert np.nonzero(indices == 0)[1].max() < np.nonzero(indices == 1)[1].min()


def test_a_camera_frames_the_model(pair: ResolvedArrangement) -> None:
    unlit, _ = front(pair)
    for view in VIEWS:
        rows, columns = np.nonzero(unlit.part_indices(unlit.camera(axes_from(np.array(view.side)), 120, 80)) >= 0)
        assert 0 < rows.min() < rows.max() < 79
        assert 0 < columns.min() < columns.max() < 119
        assert np.ptp(rows) > 60 or np.ptp(columns) > 100


def test_lines_run_between_parts_and_their_colours_are_kept_within() -> None:
    indices = np.full((4 * FINER, 6 * FINER), -1, np.int32)
    indices[:, : 3 * FINER], indices[:, 3 * FINER :] = 0, 1
    picture = coloured(indices, np.array([3, 4]))
    np.testing.assert_allclose(picture[1, 1], picture[2, 2])
    assert picture[1, 3].sum() < 0.8 * picture[1, 4].sum()
    assert not np.allclose(picture[1, 1], picture[1, 5])


def test_the_axes_stand_in_a_strip_below_the_picture(pair: ResolvedArrangement) -> None:
    unlit, axes = front(pair)
    picture = np.full((40, 120, 3), 200, np.uint8)
    assert unlit.model.from_file_axes is not None
    marked = with_axis_marks(picture, axes, unlit.model.from_file_axes)
    assert marked.shape == (40 + BELOW_PX, 120, 3)
    np.testing.assert_array_equal(marked[:40], picture)
    assert (marked[40:] < 100).any()


@pytest.mark.slow
def test_a_built_in_model_has_no_choice_of_orientations(pair: ResolvedArrangement) -> None:
    of_file, built_in = draw_views(pair), draw_views(open_input(Path("stand-in:spoon"), {}))
    assert of_file.shape[0] > 2 * built_in.shape[0]


@pytest.mark.slow
def test_the_picture_of_parts_has_both_their_colours_from_either_side(pair: ResolvedArrangement) -> None:
    picture = draw_parts(pair).astype(int)
    for half in np.array_split(picture, 2, axis=1):
        orange = (half[..., 0] - half[..., 2] > 60) & (half[..., 0] > half[..., 1])
        blue = half[..., 2] - half[..., 0] > 60
        assert orange.sum() > 2000
        assert blue.sum() > 1000
