"""`spruelight check`: warnings about an arrangement or a mesh, and pictures of it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gallery.files.writable import require_writable
from gallery.terminal import print_facts

from .opening import open_arrangement
from .options import File, Json, Out, Sizing, takes_sizing


@takes_sizing
def check(
    file: File = None,
    setup: Annotated[str | None, typer.Option("--setup", help="one setup, and where everything of it stands")] = None,
    picture: Annotated[bool, typer.Option("--picture", help="draw how it stands, and its parts by number")] = False,
    out: Out = Path(), as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say what is wrong or unwise with an arrangement or a mesh, or where everything of a setup stands."""
    from gallery.checks.arrangement import check_facts, check_lines
    from gallery.checks.placement import setup_facts, setup_lines

    arrangement = open_arrangement(file, sizing)
    drawn: list[str] = []
    if picture:
        from gallery.drawings.files import write_drawings

        require_writable(out)
        drawn = [str(path) for path in write_drawings(arrangement, out, file)]
    facts = check_facts(arrangement) if setup is None else setup_facts(arrangement, setup)
    lines = check_lines if setup is None else setup_lines
    print_facts(facts | {"pictures": drawn}, lambda facts: [*lines(facts), *drawn], as_json)
