"""`spruelight cache`: what is kept of earlier runs, and removing it."""

from __future__ import annotations

from typing import Annotated

import typer

from gallery.commands.options import Json
from gallery.terminal import print_facts


def cache(
    clean: Annotated[bool, typer.Option("--clean", help="remove what is of no use, and what the next two say")] = False,
    older_than: Annotated[str | None, typer.Option("--older-than", metavar="30d", help="not used for so long")] = None,
    keep: Annotated[str | None, typer.Option("--keep", metavar="2GB", help="the longest unused beyond it")] = None,
    as_json: Json = False,
) -> None:
    """Print what is kept of earlier runs, for which arrangement, how large and when it was used; or remove it."""
    from gallery.answers.cache import cache_facts, cache_lines
    from gallery.answers.cache_cleaning import read_cleaning
    from render.images.store.store import Store

    cleaning = read_cleaning(older_than, keep)
    print_facts(cache_facts(Store(), cleaning, clean), cache_lines, as_json)
