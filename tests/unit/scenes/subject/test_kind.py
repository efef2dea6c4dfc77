"""The kind of a subject, guessed from its dimensions."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.subject.kind import SubjectKind, guessed_kind, has_face, usual_faces_deg

extents = st.floats(0.5, 300)


@pytest.mark.parametrize(
    ("dimensions", "kind"),
    [
        ((8, 5, 18), "figure"), ((10, 10, 6), "figure"), ((12, 8, 7.2), "figure"), ((8, 12, 7.1), "vehicle"),
        ((8, 18, 6), "vehicle"), ((18, 8, 6), "vehicle"), ((10, 15, 1), "vehicle"), ((10.1, 15, 1), "object"),
        ((30, 25, 5), "object"), ((10, 10, 5.9), "object"),
    ],
)  # fmt: skip
def test_what_stands_is_a_figure_what_is_long_a_vehicle_and_the_rest_an_object(
    dimensions: tuple[float, float, float], kind: SubjectKind
) -> None:
    assert guessed_kind(dimensions) == kind


@given(extents, extents, extents, st.sampled_from([0.5, 2.0, 4.0]))
def test_a_guess_depends_neither_on_the_scale_nor_on_which_way_a_model_lies(
    width: float, length: float, height: float, scale: float
) -> None:
    kind = guessed_kind((width, length, height))
    assert guessed_kind((length, width, height)) == kind
    assert guessed_kind((scale * width, scale * length, scale * height)) == kind


def test_a_bust_an_aircraft_and_a_ship_are_never_guessed() -> None:
    sizes = (1.0, 2.0, 5.0, 9.0)
    guessed = {guessed_kind((width, length, height)) for width in sizes for length in sizes for height in sizes}
    assert guessed == {"figure", "vehicle", "object"}


def test_long_kinds_turn_off_the_camera_and_the_others_face_it() -> None:
    usual = {kind: usual_faces_deg(kind) for kind in get_args(SubjectKind)}
    assert usual == {"figure": 0, "bust": 0, "vehicle": 40, "aircraft": 35, "ship": 60, "object": 0}


def test_figures_and_busts_alone_have_a_face() -> None:
    assert [kind for kind in get_args(SubjectKind) if has_face(kind)] == ["figure", "bust"]
