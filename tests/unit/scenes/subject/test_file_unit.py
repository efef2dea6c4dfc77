"""Sizes by the unit that a mesh file states, and what is asked where they are no model's."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from scenes.errors import InputError
from scenes.subject.file_unit import cm_by_file_unit
from tests.support.arrangements import subject_in

DUCK = np.array([1.2, 1.0, 1.65])  # metres wide, long and tall


def refusal(unit: str | None, *extents: float) -> str:
    with pytest.raises(InputError) as caught:
        cm_by_file_unit("duck.glb", unit, np.array(extents))
    return str(caught.value)


@pytest.mark.parametrize(
    ("unit", "tall", "cm"), [("m", 0.6, 100), ("m", 0.01, 100), ("millimeter", 600, 0.1), ("inch", 4, 2.54)]
)
def test_a_stated_unit_says_the_size_from_1_to_60_cm(unit: str, tall: float, cm: float) -> None:
    assert cm_by_file_unit("a.glb", unit, np.array([tall / 2, tall / 2, tall], np.float32)) == cm


def test_a_model_as_large_as_a_person_is_asked_for_its_size_or_its_scale() -> None:
    assert refusal("m", *DUCK) == (
        "duck.glb is 120 cm wide, 100 cm long, 165 cm tall by the metres that it states, where a model has 1 to 60 cm: "
        "say how large yours is, as --height-cm 18, or height_cm = 18 under [subject]; if it is as large as the real "
        "thing, --unit m --scale 1:6 makes it 27.5 cm large"
    )


def test_the_scale_and_the_unit_that_are_proposed_make_it_as_large_as_is_said(tmp_path: Path) -> None:
    trimesh.creation.box(DUCK[[0, 2, 1]]).export(tmp_path / "duck.glb")  # y is up
    with pytest.raises(InputError, match=r"--unit m --scale 1:6 makes it 27\.5 cm large"):
        subject_in(tmp_path / "duck.glb")
    assert subject_in(tmp_path / "duck.glb", unit="m", scale="1:6").size_cm == pytest.approx(27.5)


@pytest.mark.parametrize(
    ("unit", "large", "hints"),
    [
        ("m", 18, ["--unit cm makes it 18 cm large", "--unit in makes it 45.7 cm large"]),
        ("m", 180, ["--unit mm makes it 18 cm large"]),
        ("millimeter", 0.18, ["--unit m makes it 18 cm large"]),
        ("foot", 40, ["--unit cm makes it 40 cm large"]),
        (None, 180, ["--unit mm makes it 18 cm large"]), (None, 0.18, ["--unit m makes it 18 cm large"]),
    ],
)  # fmt: skip
def test_units_that_make_it_a_model_are_proposed(unit: str | None, large: float, hints: list[str]) -> None:
    found = refusal(unit, large / 3, large / 2, large).split("; ")
    assert [hint for hint in found if hint.startswith("--unit")] == hints


def test_a_size_by_the_file_s_unit_alone_is_marked_as_that(tmp_path: Path) -> None:
    trimesh.creation.box((0.1, 0.18, 0.1)).export(tmp_path / "a.glb")
    assert subject_in(tmp_path / "a.glb").sized_by == "metres"
    assert subject_in(tmp_path / "a.glb", unit="m").sized_by is None
    assert subject_in(tmp_path / "a.glb", height_cm=18).sized_by is None
