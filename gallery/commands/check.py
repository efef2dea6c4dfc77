"""`spruelight check`: warnings about an arrangement or a mesh."""

from __future__ import annotations

from typing import Annotated

import typer

from gallery.terminal import print_facts

from .opening import open_arrangement
from .options import File, Json, Sizing, takes_sizing


@takes_sizing
def check(
    file: File = None,
    setup: Annotated[str | None, typer.Option("--setup", help="one setup, and where everything of it stands")] = None,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say what is wrong or unwise with an arrangement or a mesh, or where everything of a setup stands."""
    from gallery.checks.arrangement import check_facts, check_lines
    from gallery.checks.placement import setup_facts, setup_lines

    arrangement = open_arrangement(file, sizing)
    if setup is None:
        print_facts(check_facts(arrangement), check_lines, as_json)
    else:
        print_facts(setup_facts(arrangement, setup), setup_lines, as_json)
