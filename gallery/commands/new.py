"""`spruelight new`: an arrangement for a mesh."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.terminal import print_lines, print_note

from .options import Sizing, takes_sizing


@takes_sizing
def new(
    mesh: Annotated[Path, typer.Argument(help="your mesh: STL, OBJ, PLY, GLB, glTF, 3MF, OFF")],
    out: Annotated[Path | None, typer.Option("--out", help="the arrangement to write; else beside the mesh")] = None,
    *, sizing: Sizing,
) -> None:  # fmt: skip
    """Write a commented arrangement for a mesh, and pictures: how it stands and may stand, and its parts by number."""
    from gallery.starter.starter import write_starter

    path, pictures, notes = write_starter(mesh, out, sizing)
    print_lines(*map(str, (path, *pictures)))
    for note in notes:
        print_note(note)
