"""Numbers of parts stand on or beside the model, on the part that they name, and never on one another."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from gallery.drawings.part_labels import RADIUS_PX, Label, place_labels, spots

WIDTH, HEIGHT, GUTTER = 500, 400, 60


def picture(count: int, seed: int) -> NDArray[np.int32]:
    """Return a picture of part indices: rectangles of many sizes over one another, between two gutters."""
    rng = np.random.default_rng(seed)
    indices = np.full((HEIGHT, WIDTH), -1, np.int32)
    for part in range(count):
        width, height = rng.integers(2, 90, 2)
        x, y = rng.integers(GUTTER, WIDTH - GUTTER - width), rng.integers(0, HEIGHT - height)
        indices[y : y + height, x : x + width] = part
    return indices


def distance(one: Label, other: Label) -> float:
    return float(np.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1]))


@pytest.mark.parametrize(("count", "seed"), [(3, 0), (12, 1), (44, 2), (200, 3)])
def test_no_two_numbers_overlap_and_none_is_cut(count: int, seed: int) -> None:
    labels = place_labels(list(spots(picture(count, seed)).values()), WIDTH, HEIGHT)
    assert len(labels) >= min(count, 20) * 0.9
    assert all(distance(*pair) >= 2 * RADIUS_PX for pair in combinations(labels, 2))
    for label in labels:
        assert RADIUS_PX <= label.at[0] <= WIDTH - RADIUS_PX
        assert RADIUS_PX <= label.at[1] <= HEIGHT - RADIUS_PX


@pytest.mark.parametrize(("count", "seed"), [(12, 4), (200, 5)])
def test_each_number_belongs_to_a_point_of_its_part_and_to_no_other_part(count: int, seed: int) -> None:
    indices = picture(count, seed)
    labels = place_labels(list(spots(indices).values()), WIDTH, HEIGHT)
    assert len({label.part for label in labels}) == len(labels)
    for label in labels:
        x, y = label.anchor
        assert indices[int(y), int(x)] == label.part


def test_the_number_of_a_small_part_stands_beside_the_model_level_with_it() -> None:
    indices = np.full((HEIGHT, WIDTH), -1, np.int32)
    indices[100:300, 150:350] = 0
    indices[120:126, 340:346] = 1
    on_part, beside = place_labels(list(spots(indices).values()), WIDTH, HEIGHT)
    assert on_part.at == on_part.anchor
    assert beside.at[0] == WIDTH - RADIUS_PX - 1
    assert beside.at[1] == pytest.approx(beside.anchor[1])


def test_where_there_is_no_room_the_smallest_go_without() -> None:
    indices = np.full((HEIGHT, WIDTH), -1, np.int32)
    for part in range(60):
        side = 4 + part // 4
        x, y = GUTTER + part % 10 * 30, part // 10 * 60
        indices[y : y + side, x : x + side] = part
    labels = place_labels(list(spots(indices).values()), WIDTH, HEIGHT)
    missing = set(range(60)) - {label.part for label in labels}
    assert missing
    assert max(missing) < min(label.part for label in labels) + 4
