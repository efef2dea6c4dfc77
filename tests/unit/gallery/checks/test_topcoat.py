"""What `check` says of the parts under the topcoat."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.checks.topcoat import topcoat_warnings
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import finishes
from tests.unit.scenes.setups.test_setup import box

MODEL = subject_from_parts("model", [box("hull", (7, 18, 3), (0, 0, 2)), box("canopy", (2, 2, 1), (0, 0, 5))])


def warnings(parts: list[dict[str, Any]], **subject: Any) -> list[str]:
    return topcoat_warnings(finishes(parts=parts, **{"topcoat": 85, **subject}), MODEL)


def test_matt_paint_under_a_coat_might_be_unbound_and_then_darken() -> None:
    (hint,) = warnings([{"match": "hull", "base": "#5a6b3c", "gloss": 5}])
    assert hint.startswith("'hull': matt, its colour kept under the topcoat")
    assert hint.endswith("would come out 1.2 stops darker: primer = true in place of gloss")
    (black,) = warnings([{"match": "hull", "base": "#000000", "gloss": 5}])
    assert "1.3 stops darker" in black


@pytest.mark.parametrize(
    "declared",
    [{}, {"gloss": 27}, {"primer": True}, {"metal": True}, {"paint": "candy", "gloss": 5}],
)
def test_nothing_is_said_of_other_paint_and_of_primer(declared: dict[str, Any]) -> None:
    assert warnings([{"match": "*", **declared}]) == []


def test_nothing_is_said_without_a_coat() -> None:
    assert warnings([{"match": "hull", "gloss": 5}], topcoat=None) == []
    assert warnings([{"match": "hull", "gloss": 5}], no_topcoat=["hull"]) == []


def test_clear_parts_are_fogged() -> None:
    assert warnings([{"match": "canopy", "clear": True}]) == [
        "'canopy' is clear and under the topcoat, which fogs it: put it in no_topcoat"
    ]
