"""`spruelight ask`: whether the lamps are enough, how many lumens it takes, whether the fill is right."""

from __future__ import annotations

from typing import Annotated

import typer

from gallery.terminal import print_facts

from .opening import open_arrangement, open_tracing
from .options import File, Json, Sizing, takes_sizing

ask = typer.Typer(help="Questions about a setup's light, answered at the hero.", no_args_is_help=True)

Setup = Annotated[str, typer.Argument(help="a setup's name or .toml, or as-placed")]
FNumber = Annotated[float | None, typer.Option("--f-number", min=0.7, max=64, help="the lens's; else the frame's")]
Shutter = Annotated[float | None, typer.Option("--shutter-s", min=1e-4, max=3600, help="seconds; else the frame's")]
Iso = Annotated[float | None, typer.Option("--iso", min=6, max=409600, help="else the frame's")]


@ask.command()
@takes_sizing
def exposure(
    setup: Setup, file: File = None, f_number: FNumber = None, shutter_s: Shutter = None, iso: Iso = None,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say what the frame is exposed with, and whether the lamps are enough for other settings."""
    from gallery.answers.exposure import Wish, exposure_facts, exposure_lines
    from gallery.answers.setup_light import frame_exposure, setup_light

    arrangement = open_arrangement(file, sizing)
    tracing = open_tracing(arrangement)
    light = setup_light(arrangement, setup, tracing)
    facts = exposure_facts(light, frame_exposure(light, tracing), Wish(f_number, shutter_s, iso))
    print_facts(facts, exposure_lines, as_json)


@ask.command()
@takes_sizing
def lumens(
    setup: Setup, file: File = None, f_number: FNumber = None, shutter_s: Shutter = None, iso: Iso = None,
    distance_cm: Annotated[float | None, typer.Option("--distance-cm", min=1, max=400, help="hero to lamp")] = None,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say how many lumens the key needs for an exposure, where it stands or so far from the hero."""
    from gallery.answers.exposure import Wish
    from gallery.answers.lumens import lumens_facts, lumens_lines
    from gallery.answers.setup_light import frame_exposure, setup_light

    arrangement = open_arrangement(file, sizing)
    tracing = open_tracing(arrangement)
    light = setup_light(arrangement, setup, tracing)
    asked = Wish(f_number, shutter_s, iso).over(frame_exposure(light, tracing).chosen.exposure)
    facts = lumens_facts(light, asked, distance_cm, arrangement.declared.room, tracing)
    print_facts(facts, lumens_lines, as_json)


@ask.command()
@takes_sizing
def fill(
    setup: Setup, file: File = None,
    stops: Annotated[float, typer.Option("--stops", min=0, max=10, help="how far under the key")] = 2,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say how far the fill is under the key, and which dimmer or distance puts it right."""
    from gallery.answers.fill import fill_facts, fill_lines
    from gallery.answers.setup_light import setup_light

    arrangement = open_arrangement(file, sizing)
    tracing = open_tracing(arrangement)
    light = setup_light(arrangement, setup, tracing)
    print_facts(fill_facts(light, stops, arrangement.declared.room, tracing), fill_lines, as_json)
