"""`spruelight doctor`: the state of the installation."""

from __future__ import annotations

from gallery.commands.options import Json
from gallery.terminal import print_facts


def doctor(as_json: Json = False) -> None:
    """Print versions and backends, and what to do about each that is missing."""
    from gallery.answers.installation import installation_facts, installation_lines

    print_facts(installation_facts(), installation_lines, as_json)
