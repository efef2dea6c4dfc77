"""`spruelight list`: what can be named."""

from __future__ import annotations

from gallery.commands.options import Json, Listable
from gallery.terminal import print_facts


def list_(what: Listable, as_json: Json = False) -> None:
    """List setups, finishes, metals, lamps or cameras."""
    from gallery.answers.catalogue import catalogue, catalogue_lines

    print_facts(catalogue(what.value), catalogue_lines, as_json)
