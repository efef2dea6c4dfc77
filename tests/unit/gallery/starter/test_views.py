"""The views that `new` writes: three sides of any model, and of a long one both ends that may be its nose."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from gallery.starter.views import MARGIN_PX, VIEW_PX, VIEWS, draw_views, end_views
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
