"""`spruelight schema`: the file format for editors."""

from __future__ import annotations

from gallery.terminal import print_json


def schema() -> None:
    """Print the JSON Schema of the arrangement file, for editors that complete it."""
    from scenes.arrangement.arrangement import Arrangement

    print_json(Arrangement.model_json_schema())
