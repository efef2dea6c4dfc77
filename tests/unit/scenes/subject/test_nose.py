"""Both ends of a long model, by the axes of its file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import trimesh

from scenes.subject.kind import SubjectKind
from scenes.subject.nose import possible_fronts
from scenes.subject.subject import Subject
from tests.support.arrangements import subject_in


def block(folder: Path, size: tuple[float, float, float], name: str = "a.stl", **keys: Any) -> Subject:
    trimesh.creation.box(size).export(folder / name)
    return subject_in(folder / name, unit="cm", **keys)


@pytest.mark.parametrize(
    ("size", "name", "keys", "fronts"),
    [
        ((7, 18, 5), "a.stl", {}, ("-y", "y")),
        ((18, 7, 5), "a.stl", {}, ("x", "-x")),
        ((18, 7, 5), "a.stl", {"front": "x"}, ("x", "-x")),
        ((7, 5, 18), "a.glb", {}, ("z", "-z")),
        ((18, 5, 7), "a.glb", {}, ("x", "-x")),
        ((7, 18, 5), "a.stl", {"front": "y"}, ("y", "-y")),
    ],
)
def test_the_nose_of_a_vehicle_is_at_an_end_of_its_longer_side(
    tmp_path: Path, size: tuple[float, float, float], name: str, keys: dict[str, Any], fronts: tuple[str, str]
) -> None:
    assert possible_fronts(block(tmp_path, size, name, **keys), "vehicle") == fronts


def test_an_aircraft_may_be_wider_than_long(tmp_path: Path) -> None:
    assert possible_fronts(block(tmp_path, (30, 20, 5)), "aircraft") == ("-y", "y")


@pytest.mark.parametrize("kind", ["figure", "bust", "object"])
def test_other_kinds_have_no_nose_to_be_asked_for(tmp_path: Path, kind: SubjectKind) -> None:
    assert possible_fronts(block(tmp_path, (7, 18, 5)), kind) is None
