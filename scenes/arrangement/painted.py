"""The colours of an arrangement's parts that lie in files beside it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from materials.colour.notation import is_reflectance_file, reflectance_from
from scenes.errors import InputError

from .files import inside


def with_paint_files(data: Mapping[str, Any], path: Path) -> dict[str, Any]:
    """Return an arrangement's data with files of reflectance by their whole path, each of them read once to see.

    What is no list of tables is left to the checks that follow.

    Raises
    ------
    InputError
        Where a file is missing, lies outside the arrangement's folder or is wrong.
    """
    subject = data.get("subject")
    if not isinstance(subject, dict):
        return dict(data)
    parts = subject.get("parts", [])
    if not (isinstance(parts, list) and all(isinstance(part, dict) for part in parts)):
        return dict(data)
    found = [_with_file(part, path, f"subject.parts[{i + 1}].base") for i, part in enumerate(parts)]
    return {**data, "subject": {**subject, "parts": found}} if found else dict(data)


def _with_file(part: Mapping[str, Any], path: Path, key: str) -> dict[str, Any]:
    base = part.get("base")
    if not (isinstance(base, str) and is_reflectance_file(base)):
        return dict(part)
    file = inside(path.parent, f"{path}: {key}", base).resolve()
    try:
        reflectance_from(str(file))
    except ValueError as error:
        raise InputError(f"{path}: {key}: {error}") from None
    return {**part, "base": str(file)}
