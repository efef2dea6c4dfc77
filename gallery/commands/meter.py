"""`spruelight meter`: the light at the arrangement's meters."""

from __future__ import annotations

from typing import Annotated

import typer

from gallery.terminal import print_facts

from .opening import open_arrangement, open_tracing
from .options import File, Json, Sizing, takes_sizing


@takes_sizing
def meter(
    file: File = None, setup: Annotated[str | None, typer.Option("--setup")] = None, as_json: Json = False, *,
    sizing: Sizing,
) -> None:  # fmt: skip
    """Measure the light at the arrangement's meters, in lux."""
    from gallery.answers.meter import meter_facts, meter_lines

    arrangement = open_arrangement(file, sizing)
    print_facts(meter_facts(arrangement, setup, open_tracing(arrangement)), meter_lines, as_json)
