"""What `check` says of the subject before anything is traced."""

from __future__ import annotations

from typing import Any

import pytest

from gallery.checks.arrangement import check_facts, check_lines
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
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


def test_a_kind_that_the_file_names_is_not_called_a_guess() -> None:
    assert kind_lines(LONG, kind="ship") == []
