"""Labels stand nearer to what they name than to what others name, and the lines to them run through no text."""

from __future__ import annotations

import numpy as np
import pytest

from gallery.diagram.views.labels import Label, crossings, write_labels
from gallery.diagram.views.projection import Projection
from gallery.diagram.views.view import View
from gallery.paper.box import Box
from gallery.paper.page import drawing, new_page
from gallery.paper.size import PaperName, paper_of
from materials.arrays import Vector

PAGE = Box(0.0, 0.0, 21.0, 29.7)


def boxes_of(anchors: list[tuple[float, float]]) -> list[Box]:
    """Return the boxes of labels of two lines each at anchors on an empty page."""
    with drawing():
        view = View(new_page(paper_of(PaperName.A4)), Projection("above"), 1.0, (0.0, 0.0), PAGE)
        labels = [Label(f"label {i}\nof a point", np.array(at)) for i, at in enumerate(anchors)]
        return write_labels(view, labels, PAGE, [])


def nearest(box: Box, anchor: Vector) -> Vector:
    return np.clip(anchor, (box.left, box.bottom), (box.right, box.top))


@pytest.mark.parametrize("apart_cm", [0.3, 0.8, 1.6])
def test_a_label_is_nearest_to_its_own_point(apart_cm: float) -> None:
    anchors = [(10.0, 15.0), (10.0 + apart_cm, 15.0 + apart_cm / 2)]
    boxes = boxes_of(anchors)
    away = np.array([[np.linalg.norm(nearest(box, np.array(at)) - at) for at in anchors] for box in boxes])
    assert away.argmin(axis=1).tolist() == [0, 1]


def test_no_line_to_a_label_runs_through_another_text() -> None:
    anchors = [(10.0 + 0.2 * i, 15.0) for i in range(6)]
    boxes = boxes_of(anchors)
    assert len(boxes) == 6
    for at, own in zip(anchors, boxes, strict=True):
        leader = np.array([[at, nearest(own, np.array(at))]])
        assert [crossings(other, leader) for other in boxes if other is not own] == [0] * 5
