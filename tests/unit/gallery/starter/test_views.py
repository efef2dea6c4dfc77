"""The views that `new` writes: three sides of any model, and of a long one both ends that may be its nose."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from gallery.starter.views import MARGIN_PX, VIEW_PX, VIEWS, draw_views, end_views, side_views
from scenes.geometry import round_and_rise
from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in


@pytest.fixture
def long_model(tmp_path: Path) -> Subject:
    """Return a model whose length lies along the file's x."""
    trimesh.creation.box((18, 7, 5)).export(tmp_path / "a.stl")
    return subject_in(tmp_path / "a.stl", unit="cm")


def test_both_ends_of_a_vehicle_are_shown_three_quarter_with_the_option_that_names_each(long_model: Subject) -> None:
    views = end_views(long_model, "vehicle")
    assert [view.caption for view in views] == [
        "A: if the nose is at the lower right: --front x", "B: if the nose is at the lower right: --front -x"
    ]  # fmt: skip
    for view, end in zip(views, ((1, 0, 0), (-1, 0, 0)), strict=True):
        nose_deg, camera_deg = (round_and_rise(side)[0] for side in (end, view.side))
        assert (nose_deg - camera_deg + 180) % 360 - 180 == pytest.approx(40)  # to camera right
        assert round_and_rise(view.side)[1] > 0


def test_each_side_names_the_option_for_a_model_that_stands_otherwise(tmp_path: Path) -> None:
    """A glTF file has y up and faces z: the top of the view from above is its -z, camera right its x."""
    trimesh.creation.box((18, 7, 5)).export(tmp_path / "a.glb")
    views = side_views(subject_in(tmp_path / "a.glb", unit="cm"))
    assert [view.remedy for view in views] == [
        "if you see its back: --front -z",
        "if you see its face: --front x; its back: --front -x",
        "if it stands upright in this view: --up -z",
    ]
    assert [view.side for view in views] == [view.side for view in VIEWS]


@pytest.mark.parametrize(
    ("side", "option", "seen_from"), [(0, {"front": "y"}, 1), (1, {"front": "x"}, -1), (2, {"up": "y"}, -1)]
)
def test_the_options_turn_the_side_that_a_view_shows(
    side: int, option: dict[str, str], seen_from: int, tmp_path: Path
) -> None:
    """A back goes behind; a face at camera right, or one seen from above, comes to the camera."""
    trimesh.creation.box((18, 7, 5)).export(tmp_path / "a.stl")
    as_in_file, turned = (subject_in(tmp_path / "a.stl", unit="cm", **keys).from_file_axes for keys in ({}, option))
    assert as_in_file is not None
    assert turned is not None
    seen = as_in_file.T @ np.round(VIEWS[side].side)  # in the file's axes
    np.testing.assert_allclose(turned @ seen, (0, seen_from, 0), atol=1e-9)


def test_what_has_no_nose_is_not_asked_about(long_model: Subject) -> None:
    assert end_views(long_model, "object") == ()


def test_the_ends_stand_in_a_row_below_the_three_sides(long_model: Subject) -> None:
    sides, both = (np.asarray(draw_views(long_model, kind)) for kind in ("object", "vehicle"))
    assert sides.shape == (VIEW_PX + MARGIN_PX, len(VIEWS) * VIEW_PX, 3)
    assert both.shape == (2 * (VIEW_PX + MARGIN_PX), len(VIEWS) * VIEW_PX, 3)
    np.testing.assert_array_equal(both[: VIEW_PX + MARGIN_PX], sides)
    for column in (0, 1):
        shown = both[VIEW_PX + MARGIN_PX :, column * VIEW_PX : (column + 1) * VIEW_PX]
        assert (shown[:VIEW_PX] < 225).mean() > 0.05  # the model, before white
