"""Arrangements resolved round a subject that a test makes, and subjects loaded from files that it wrote."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model
from scenes.arrangement.resolving import ResolvedArrangement, resolve_values
from scenes.arrangement.subject_model import SubjectModel
from scenes.lamps.lamp import Lamp
from scenes.setups.place_setup import place_setup
from scenes.setups.placed import PlacedSetup
from scenes.subject.from_meshes import load_subject
from scenes.subject.part_finishes import PartFinishes
from scenes.subject.subject import Subject

SOURCE = "test.toml"


def resolved(declared: Arrangement, subject: Subject | None = None, folder: Path = Path()) -> ResolvedArrangement:
    """Return an arrangement resolved, a model at hand on its table, its front to the camera."""
    return replace(resolve_values(declared, Folder(folder, SOURCE)), model=subject)


def finishes(**subject: Any) -> PartFinishes:
    """Return the finishes of a subject's parts, by the keys of [subject] beside its mesh."""
    return resolved(fill_model({"subject": {"mesh": "x", **subject}}, Arrangement, SOURCE)).finishes


def lamp(folder: Path = Path(), /, **keys: Any) -> Lamp:
    """Return the lamp `a` of an arrangement in a folder, by its keys there."""
    declared = fill_model({"lamps": [{"name": "a", **keys}]}, Arrangement, SOURCE)
    return resolved(declared, folder=folder).lamps[0]


def place(name: str, declared: Arrangement, subject: Subject | None, aspect: float | None = None) -> PlacedSetup:
    """Return a setup put up round a subject at hand."""
    return place_setup(name, resolved(declared, subject), aspect)


def subject_in(path: Path | Sequence[Path], **keys: Any) -> Subject:
    """Return the subject in mesh files, by the keys of an arrangement's [subject]."""
    paths = [path] if isinstance(path, Path) else list(path)
    return load_subject(paths, fill_model({"mesh": paths[0].name, **keys}, SubjectModel, SOURCE, ("subject",)))
