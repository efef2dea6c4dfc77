"""An 18 % matt card in place of the model, facing the key, comes out at sRGB 114 in the picture, in every setup.

By ISO 2720 (C = 250, a flat receptor) and the SOS of ISO 12232 (an 18 % card at S H = 10, q = .65) the card lies at
.18 x 250 x .65 / (pi x 10 / .18) = .1676 of white in linear light: 114 of 255 in sRGB.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from gallery.files.pictures import read_picture
from gallery.frames.shots import shot_of
from gallery.inputs import open_input
from render.frame import take_frame
from render.images.store.store import Store
from render.images.tracing import Tracing
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.setups.place_setup import place_setup
from scenes.setups.setup import setup_names
from tests.support.command import run
from tests.support.few import few_plain
from tests.support.grey_card import card_facing, median_level, metered_from, with_card
from tests.support.notes import note

LEVEL: Final = 0.18 * 250 * 0.65 / (np.pi * 10 / 0.18)
ROUNDING: Final = 1 / 6
"""Stops, at most, between an exposure and the nearest step that a camera has."""
METERING: Final = 1 / 12
"""Stops that the metered exposure may be off; half of it is the averaging over four steps."""
TWELFTHS: Final = (0, 1 / 12, 2 / 12, 3 / 12)
"""Stops over the metered exposure: a third of a stop in four, over which the rounding to thirds averages out."""
PLAIN: Final = ("butterfly", "butterfly-card", "split", "rim-fill", "clamshell", "high-key", "raking", "backlight")
"""Setups whose card is measured in the quick tests too."""
SIZE: Final = (48, 48)
PASSES: Final = 3
"""With the 28 samples of two, noise takes .05 stop of `backlight`."""
GREY: Final = '[[subject.parts]]\nmatch = "*"\nbase = "lab(49.496, 0, 0)"\nprimer = true\n'
KITS: Final = {
    "generic": "",
    "small LED and bulb": (
        '[[lamps]]\nname = "LED"\nsize_cm = [5, 3]\nlumens = 220\nkelvin = 5600\n'
        '[[lamps]]\nname = "bulb"\nkind = "bulb"\ndiameter_cm = 6\nlumens = 800\nkelvin = 3000\n'
    ),
    "soft panel and a camera": '[[lamps]]\nname = "soft"\nsize_cm = [40, 40]\n[camera]\nkind = "camera"\n',
}


@pytest.fixture(scope="module", params=["generic", *(pytest.param(k, marks=pytest.mark.slow) for k in [*KITS][1:])])
def kit(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, ResolvedArrangement]:
    file = tmp_path_factory.mktemp("grey") / "grey.toml"
    file.write_text(f'[subject]\nmesh = "stand-in:figure"\n{GREY}{KITS[request.param]}', encoding="utf-8")
    return request.param, open_input(file, {})


@pytest.mark.parametrize("setup", few_plain(setup_names(), PLAIN))
def test_an_18_percent_card_facing_the_key_is_114_in_every_setup(
    setup: str, kit: tuple[str, ResolvedArrangement]
) -> None:
    name, arrangement = kit
    placed, card = with_card(replace(place_setup(setup, arrangement), exposure_stops=0.0))
    inside = card.inside(placed.view, SIZE)
    off = []
    for stops in TWELFTHS:
        camera = arrangement.declared.camera.model_copy(update={"stops": stops})
        declared = arrangement.declared.model_copy(update={"camera": camera})
        shot = shot_of(replace(arrangement, declared=declared), placed, "as-built", SIZE, None)
        picture = take_frame(shot, Tracing(Store()), PASSES).rgb
        off.append(float(np.log2(median_level(picture, inside) / LEVEL)) - stops)
    note("an 18 % card facing the key, stops from 114", f"{name}, {setup}: {np.mean(off):+.3f}, as set {off[0]:+.3f}")
    assert abs(np.mean(off)) <= METERING
    assert max(map(abs, off)) <= ROUNDING + METERING


def test_a_card_of_ones_own_mesh_is_114_in_a_proof(tmp_path: Path) -> None:
    setup = tmp_path / "side.toml"
    setup.write_text('reads_as = "a key"\n[[lamps]]\nrole = "key"\nround_deg = -40\nrise_deg = 25\ndistance = 4\n')
    card = card_facing(np.array([0.0, 0.0, 2.5]), np.array([-20.0, -20.0, 20.0]))
    for _ in range(4):  # where the card turns, its key moves along
        card.mesh.export(tmp_path / "card.stl")
        (tmp_path / "card.toml").write_text(
            f'[subject]\nmesh = "card.stl"\nunit = "cm"\nhero = "*"\nkind = "figure"\n{GREY}', encoding="utf-8"
        )
        placed = place_setup(str(setup), open_input(tmp_path / "card.toml", {}), SIZE[0] / SIZE[1])
        card = card_facing(np.asarray(placed.hero_cm), metered_from(placed))
    ran = run(tmp_path, "proof", "side.toml", "card.toml", "--size", f"{SIZE[0]}x{SIZE[1]}", "--quality", "draft")
    assert ran.returncode == 0, ran.stderr
    level = median_level(read_picture(tmp_path / "side--as-built.png"), card.inside(placed.view, SIZE))
    note("an 18 % card facing the key, stops from 114", f"proof, as set {np.log2(level / LEVEL):+.3f}")
    assert abs(np.log2(level / LEVEL)) <= ROUNDING + METERING
