"""Where parts are on a model, in words."""

from __future__ import annotations

import pytest

from scenes.arrangement.subject_model import PlinthModel, SubjectModel
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.kind import SubjectKind
from scenes.subject.whereabouts import whereabouts
from tests.unit.scenes.setups.test_setup import box

Triple = tuple[float, float, float]

TALL: Triple = (8, 6, 20)
LONG: Triple = (8, 20, 6)


def place(model: Triple, size: Triple, at: Triple, kind: SubjectKind = "figure") -> str:
    """Return where a box is on a model of another box; `at` counts from the middle of the model's underside."""
    whole, part = box("whole", model, (0, 0, model[2] / 2)), box("part", size, at)
    subject = subject_from_parts("model", [whole, part])
    return whereabouts(subject, subject.parts[1], kind)


@pytest.mark.parametrize(
    ("height", "words"), [(1, "foot"), (6, "knee"), (11, "waist"), (15, "chest"), (18, "head")]
)  # of 20: foot, knee joint, navel, breast, chin to crown
def test_heights_on_a_figure_are_those_of_a_body(height: float, words: str) -> None:
    assert place(TALL, (1, 1, 1), (0, 0, height)) == f"{words} height"


@pytest.mark.parametrize(
    ("kind", "model"),
    [("vehicle", LONG), ("object", TALL), ("bust", TALL), ("figure", (20, 6, 15))],
)
def test_heights_on_all_else_are_thirds(kind: SubjectKind, model: Triple) -> None:
    parts = [place(model, (0.2, 0.2, 0.2), (0, 0, share * model[2]), kind) for share in (0.1, 0.5, 0.9)]
    assert parts == ["low", "middle", "top"]


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ((-2, 0, 3), "middle, camera left"), ((2, 0, 3), "middle, camera right"), ((0, -8, 3), "middle, front"),
        ((0, 8, 3), "middle, back"), ((2, -8, 3), "middle, camera right, front"), ((0, 0, 3), "middle"),
        ((0.2, 0, 3), "middle"), ((0.6, 0, 3), "middle, camera right"),
    ],
)  # fmt: skip
def test_a_part_is_left_right_before_or_behind_as_the_camera_sees_the_model_s_front(at: Triple, words: str) -> None:
    assert place(LONG, (1, 1, 1), at, "vehicle") == words


def test_a_part_across_the_model_is_on_no_side() -> None:
    assert place(LONG, (7, 18, 1), (0, 0, 0.5), "vehicle") == "low"


@pytest.mark.parametrize(
    ("size", "at", "words"),
    [((1, 1, 8), (0, 0, 14), "waist to head height"), ((1, 1, 20), (0, 0, 10), "full height")],
)
def test_a_tall_part_is_named_by_both_its_ends(size: Triple, at: Triple, words: str) -> None:
    assert place(TALL, size, at) == words


def test_heights_count_from_the_model_s_own_foot_and_not_from_its_plinth() -> None:
    declared = SubjectModel(mesh="x", plinth=PlinthModel(height_cm=20))
    parts = [box("leg", (4, 4, 10), (0, 0, 5)), box("head", (4, 4, 10), (0, 0, 15))]
    subject = subject_from_parts("model", parts, declared)
    words = {part.name: whereabouts(subject, part, "object") for part in subject.parts}
    assert words == {"leg": "low to middle", "head": "middle to top", "plinth": "under the model"}
