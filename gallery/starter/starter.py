"""`spruelight new`: a commented arrangement for a mesh, with three views to check which way it faces."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from gallery.files.pictures import write_picture
from gallery.inputs import describe_size, open_input
from gallery.terminal import print_note
from render.images.atomic_file import write_atomically
from scenes.builtin.standin import STAND_IN
from scenes.errors import InputError

from .template import starter_text
from .views import draw_views


def write_starter(mesh: Path, out: Path | None, sizing: dict[str, Any]) -> tuple[Path, Path]:
    """Write an arrangement for a mesh and its three views, and return their paths.

    Raises
    ------
    InputError
        Where the mesh cannot be used, or the arrangement exists already or would not lie beside the mesh.
    """
    if mesh.suffix.lower() == ".toml":
        raise InputError(f"{mesh}: `new` takes a mesh and writes the arrangement")
    if any("\ud800" <= c <= "\udfff" for c in mesh.name):
        raise InputError(f"{mesh}: its name is no text that an arrangement could name it by; rename it")
    arrangement = open_input(mesh, sizing)
    if size := describe_size(arrangement):
        print_note(size)
    path = out or mesh.with_name(mesh.name.removeprefix(STAND_IN)).with_suffix(".toml")
    if path.exists():
        raise InputError(f"{path}: it is there already; edit that, name another with --out, or move it away")
    if path.parent.resolve() != mesh.parent.resolve():
        raise InputError(f"--out {path}: an arrangement lies in the folder of its mesh, {mesh.parent}")
    views = path.with_name(f"{path.stem}-views.png")
    try:
        write_picture(views, np.asarray(draw_views(arrangement.turned_model(0.0), arrangement.kind)))
        write_atomically(path, lambda file: file.write(starter_text(mesh, arrangement, sizing).encode()))
    except PermissionError:
        raise InputError(f"{path.parent}: cannot be written to; copy the mesh to a folder of yours") from None
    return path, views
