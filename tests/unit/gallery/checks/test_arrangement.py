"""What `check` says of the subject before anything is traced."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.checks.arrangement import check_facts, check_lines
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import resolve
from scenes.setups.setup import SHEET_ORDER
from scenes.subject.from_meshes import subject_from_parts
from tests.support.arrangements import resolved
from tests.unit.scenes.setups.test_setup import FIGURE, box

LONG = [box("body", (7, 18, 3), (0, 0, 2))]
BLOCK = [box("body", (12, 12, 3), (0, 0, 2))]


def kind_lines(parts: Any, **subject: Any) -> list[str]:
    declared = fill_model({"subject": {"mesh": "x", **subject}}, Arrangement, "test")
    lines = check_lines(check_facts(resolved(declared, subject_from_parts("model", parts))))
    return [line for line in lines if line.startswith("taken for")]


@pytest.mark.parametrize(
    ("parts", "subject", "guess"),
    [
        (LONG, {}, "taken for a vehicle: it stands turned 40 degrees"),
        (LONG, {"faces_deg": -15}, "taken for a vehicle: it stands turned -15 degrees"),
        (BLOCK, {}, "taken for an object: it stands facing the camera"),
        (FIGURE, {}, "taken for a figure: it stands facing the camera"),
    ],
)
def test_a_guessed_kind_is_stated_with_how_the_model_stands_therefore(
    parts: Any, subject: dict[str, Any], guess: str
) -> None:
    assert kind_lines(parts, **subject) == [f'{guess}; kind = "..." or faces_deg says otherwise']


def test_the_sizes_of_parts_are_along_the_model_s_own_axes_however_it_stands() -> None:
    declared = fill_model({"subject": {"mesh": "x"}}, Arrangement, "test")
    facts = check_facts(resolved(declared, subject_from_parts("model", LONG)))
    assert facts["part_sizes"][0]["size_cm"] == facts["size_cm"] == [7, 18, 3]


def test_a_model_on_its_side_is_doubted_with_the_option_and_the_reason(tmp_path: Path) -> None:
    cone = trimesh.creation.cone(3, 10).apply_transform(trimesh.transformations.rotation_matrix(-np.pi / 2, [1, 0, 0]))
    cone.export(tmp_path / "a.stl")
    declared = fill_model({"subject": {"mesh": "a.stl", "unit": "cm"}}, Arrangement, "test")
    doubts = check_facts(resolve(declared, Folder(tmp_path, "test")))["doubts"]
    reason = "it stands firmer, its mass low over its base"
    assert f"it may stand the wrong way: --up y looks likelier ({reason}); check --picture draws both" in doubts


def test_a_kind_that_the_file_names_is_not_called_a_guess() -> None:
    assert kind_lines(LONG, kind="ship") == []


@pytest.mark.slow
def test_setups_without_room_are_a_line_each() -> None:
    declared = fill_model({"subject": {"mesh": "x"}, "room": {"clear_cm": {"above": 0.6}}}, Arrangement, "test")
    doubts = check_facts(resolved(declared, subject_from_parts("model", LONG)))["doubts"]
    assert [line.split(" is left out: it wants a lamp ")[0] for line in doubts] == list(SHEET_ORDER)


def test_parts_are_listed_with_where_they_are_on_the_model() -> None:
    declared = fill_model({"subject": {"mesh": "x"}}, Arrangement, "test")
    parts = [box("hull", (7, 18, 3), (0, 0, 1.5)), box("mast", (1, 1, 6), (0, 6, 9))]
    facts = check_facts(resolved(declared, subject_from_parts("model", parts)))
    assert [part["where"] for part in facts["part_sizes"]] == ["low", "middle to top, back"]
    assert [line.rpartition("; ")[2] for line in check_lines(facts) if line.startswith("  ")] == [
        "low", "middle to top, back",
    ]  # fmt: skip
