"""The drawings of a model on disk: how it stands, and its parts."""

from __future__ import annotations

from pathlib import Path

from gallery.files.names import file_name
from gallery.files.pictures import write_picture
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.builtin.standin import STAND_IN
from scenes.errors import InputError

from .parts import draw_parts
from .views import draw_views


def write_drawings(arrangement: ResolvedArrangement, folder: Path, file: Path | None) -> tuple[Path, Path]:
    """Write NAME-views.png and NAME-parts.png under a folder, named after the file, and return their paths.

    Raises
    ------
    InputError
        Where the arrangement has no model.
    OSError
        Where they cannot be written.
    """
    if arrangement.model is None:
        raise InputError(f"{arrangement.folder.source}: there is no [subject] to draw")
    name = arrangement.model.name if file is None else Path(file.name.removeprefix(STAND_IN)).stem
    views, parts = (folder / file_name(f"{name}-{what}") for what in ("views", "parts"))
    write_picture(views, draw_views(arrangement))
    write_picture(parts, draw_parts(arrangement))
    return views, parts
