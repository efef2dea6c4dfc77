"""`spruelight ask`: whether the lamps are enough, how many lumens it takes, whether the fill is right."""

from __future__ import annotations

from typing import Annotated

import typer

from gallery.terminal import print_facts

from .opening import open_arrangement, open_tracing
from .options import File, Json, Sizing, takes_sizing

ask = typer.Typer(help="Questions about a setup's light, answered at the hero.", no_args_is_help=True)

Setup = Annotated[str, typer.Argument(help="a setup's name or .toml, or as-placed")]
FNumber = Annotated[float, typer.Option("--f-number", min=0.7, max=64, help="the lens's f-number")]
Shutter = Annotated[float, typer.Option("--shutter-s", min=1e-4, max=3600, help="seconds")]
Iso = Annotated[float, typer.Option("--iso", min=6, max=409600)]


@ask.command()
@takes_sizing
def exposure(
    setup: Setup, file: File = None, f_number: FNumber = 11, shutter_s: Shutter = 1, iso: Iso = 100,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say whether the lamps are enough for an exposure, on a tripod and by hand."""
    from gallery.answers.exposure import exposure_facts, exposure_lines
    from gallery.answers.hero_light import hero_light
    from render.camera.exposure import Exposure

    light = hero_light(open_arrangement(file, sizing), setup, open_tracing())
    print_facts(exposure_facts(light, Exposure(shutter_s, iso, f_number)), exposure_lines, as_json)


@ask.command()
@takes_sizing
def lumens(
    setup: Setup, file: File = None, f_number: FNumber = 11, shutter_s: Shutter = 1, iso: Iso = 100,
    distance_cm: Annotated[float | None, typer.Option("--distance-cm", min=1, max=400, help="hero to lamp")] = None,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say how many lumens the key needs for an exposure, where it stands or so far from the hero."""
    from gallery.answers.hero_light import hero_light
    from gallery.answers.lumens import lumens_facts, lumens_lines
    from render.camera.exposure import Exposure

    tracing = open_tracing()
    light = hero_light(open_arrangement(file, sizing), setup, tracing)
    facts = lumens_facts(light, Exposure(shutter_s, iso, f_number), distance_cm, tracing)
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
    from gallery.answers.hero_light import hero_light

    tracing = open_tracing()
    light = hero_light(open_arrangement(file, sizing), setup, tracing)
    print_facts(fill_facts(light, stops, tracing), fill_lines, as_json)
