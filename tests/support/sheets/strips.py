"""Strips of a small figure under three lamps, to look at their shots."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
import trimesh

from gallery.strip.field import read_field
from gallery.strip.variation import Strip, StripRequest, strip_of
from scenes.arrangement import loading
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.arrangement.subject_model import SubjectModel
from scenes.progress import Progress
from scenes.subject.from_meshes import subject_from_parts
from scenes.subject.subject import Subject
from tests.support.arrangements import resolved

LAMPS = [
    {"name": "large", "size_cm": [20, 14], "kelvin": 4000},
    {"name": "low", "size_cm": [8, 8], "lux_at": {"lux": 900, "cm": 50}},
    {"name": "small", "size_cm": [5, 3], "dimmable": False},
]
SUBJECT: dict[str, Any] = {"mesh": "figure.stl", "height_cm": 12, "parts": [{"match": "*", "base": "#c0b8a8"}]}


def arranged(**keys: Any) -> Arrangement:
    """Return a declaration of a figure and three lamps."""
    return fill_model({"subject": SUBJECT, "lamps": LAMPS, **keys}, Arrangement, "test")


def opened(folder: Path = Path(), /, **keys: Any) -> ResolvedArrangement:
    """Return it resolved, the figure made of a body and a head."""
    body, head = trimesh.creation.box((4, 3, 8)), trimesh.creation.box((2, 2, 4))
    body.apply_translation([0, 0, 4])
    head.apply_translation([0, 0, 10])
    parts = [(name, mesh.vertices, mesh.faces) for name, mesh in (("body", body), ("head", head))]
    return resolved(arranged(**keys), subject_from_parts("figure", parts), folder)


def strip(field: str, setup: str = "loop", folder: Path = Path(), **keys: Any) -> Strip:
    """Return the shots of a strip of it."""
    return strip_of(StripRequest(opened(folder, **keys), setup, (60, 80)), read_field(field))


def loads(folder: Path, monkeypatch: pytest.MonkeyPatch) -> list[SubjectModel]:
    """Return what is appended to where the mesh in a folder is loaded."""
    (folder / SUBJECT["mesh"]).touch()
    loaded: list[SubjectModel] = []

    def load(paths: Sequence[Path], declared: SubjectModel, *, progress: Progress) -> Subject | None:
        progress("reading")
        assert paths == [folder / SUBJECT["mesh"]]
        loaded.append(declared)
        return opened().subject

    monkeypatch.setattr(loading, "load_subject", load)
    return loaded
