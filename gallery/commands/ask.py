"""The command line's questions: are these lamps enough, how many lumens, is the fill right."""

from __future__ import annotations

from typing import Annotated

import typer

from gallery.options import File, Json, Sizing, open_file, sized, start_tracing
from gallery.terminal import answer

ask = typer.Typer(help="Questions about a setup's light, answered at the hero.", no_args_is_help=True)

Setup = Annotated[str, typer.Argument(help="a setup's name or .toml, or as-placed")]
FNumber = Annotated[float, typer.Option("--f-number", min=0.7, max=64, help="the lens's f-number")]
Shutter = Annotated[float, typer.Option("--shutter-s", min=1e-4, max=3600, help="seconds")]
Iso = Annotated[float, typer.Option("--iso", min=6, max=409600)]


@ask.command()
@sized
def exposure(
    setup: Setup, file: File = None, f_number: FNumber = 11, shutter_s: Shutter = 1, iso: Iso = 100,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say whether the lamps are enough for an exposure, on a tripod and by hand."""
    from gallery.answers.hero_light import at_hero, exposure_facts
    from gallery.answers.lines import exposure_lines
    from render.camera.exposure import Exposure

    hero = at_hero(open_file(file, sizing), setup, start_tracing())
    facts = exposure_facts(hero, Exposure(shutter_s, iso, f_number))
    answer(facts, exposure_lines, as_json)


@ask.command()
@sized
def lumens(
    setup: Setup, file: File = None, f_number: FNumber = 11, shutter_s: Shutter = 1, iso: Iso = 100,
    distance_cm: Annotated[float | None, typer.Option("--distance-cm", min=1, max=400, help="hero to lamp")] = None,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say how many lumens the key needs for an exposure, where it stands or so far from the hero."""
    from gallery.answers.hero_light import at_hero, lumens_facts
    from gallery.answers.lines import lumens_lines
    from render.camera.exposure import Exposure

    tracing = start_tracing()
    hero = at_hero(open_file(file, sizing), setup, tracing)
    facts = lumens_facts(hero, Exposure(shutter_s, iso, f_number), distance_cm, tracing)
    answer(facts, lumens_lines, as_json)


@ask.command()
@sized
def fill(
    setup: Setup, file: File = None,
    stops: Annotated[float, typer.Option("--stops", min=0, max=10, help="how far under the key")] = 2,
    as_json: Json = False, *, sizing: Sizing,
) -> None:  # fmt: skip
    """Say how far the fill is under the key, and which dimmer or distance puts it right."""
    from gallery.answers.hero_light import at_hero, fill_facts
    from gallery.answers.lines import fill_lines

    tracing = start_tracing()
    hero = at_hero(open_file(file, sizing), setup, tracing)
    facts = fill_facts(hero, stops, tracing)
    answer(facts, fill_lines, as_json)
