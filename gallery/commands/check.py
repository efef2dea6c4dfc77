"""`spruelight check`: warnings about an arrangement or a mesh."""

from __future__ import annotations

from gallery.terminal import print_facts

from .opening import open_arrangement
from .options import File, Json, Sizing, takes_sizing


@takes_sizing
def check(file: File = None, as_json: Json = False, *, sizing: Sizing) -> None:
    """Say what is wrong or unwise with an arrangement or a mesh."""
    from gallery.checks.arrangement import check_facts, check_lines

    print_facts(check_facts(open_arrangement(file, sizing)), check_lines, as_json)
