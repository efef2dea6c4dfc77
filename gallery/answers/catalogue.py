"""The `list` command: what there is to name, each in one line."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from gallery.captions.lamp import light_words
from materials.colour.srgb import linear_srgb_under_d65, srgb_encode
from materials.light.spectra import luminance_factor
from materials.surface.glossmeter import RECEPTORS, gloss_units, roughness_from_gloss
from materials.surface.metals import metal_reflectance, named_metals
from materials.surface.named_finishes import NamedFinish, named_finishes
from scenes.arrangement.folder import Folder
from scenes.arrangement.lamp_model import lamp_presets
from scenes.arrangement.owned import resolve_lamp
from scenes.setups.setup import load_setup, setup_names
from scenes.stage.cameras import camera_kinds

LIMITS = (
    "over black, by one lobe of facets set right at 60 degrees: at 85 degrees real matt coats differ from one another, "
    "and a white base adds 2 GU at 60"
)


def listed(what: str) -> dict[str, str]:
    """Return names with what each is, for setups, finishes, metals, lamps or cameras."""
    match what:
        case "setups":
            return {name: load_setup(name).reads_as for name in setup_names()}
        case "finishes":
            return {name: _finish_words(finish) for name, finish in named_finishes().items()} | {"limits": LIMITS}
        case "metals":
            return {name: f"{metal.description}: {_metal_words(name)}" for name, metal in named_metals().items()}
        case "lamps":
            return {name: f"{preset['description']}: {_preset_words(name)}" for name, preset in lamp_presets().items()}
        case _:
            return {
                name: f"f/{kind.f_number:g}, ISO {kind.iso:g}: {kind.description}"
                for name, kind in camera_kinds().items()
            }


def _finish_words(finish: NamedFinish) -> str:
    """Return what a glossmeter reads of a finish over black at its three angles, and what its name can mean."""
    roughness = roughness_from_gloss(finish.gloss_units)
    at_20, at_60, at_85 = (gloss_units(roughness, angle_deg=angle) for angle in sorted(RECEPTORS))
    readings = f"{at_20:5.1f} GU at 20, {at_60:5.1f} at 60, {at_85:5.1f} at 85 degrees"
    return f"{readings}; labels mean {finish.low:g} to {finish.high:g}: {finish.description}"


def _metal_words(name: str) -> str:
    """Return how much a metal reflects of daylight, and its colour."""
    reflectance = metal_reflectance(name)
    red, green, blue = np.round(255 * srgb_encode(np.clip(linear_srgb_under_d65(reflectance), 0, 1))).astype(int)
    return f"reflects {100 * luminance_factor(reflectance):.0f} %, #{red:02x}{green:02x}{blue:02x}"


def _preset_words(name: str) -> str:
    lamp = resolve_lamp({"name": name, "preset": name}, Folder(Path(), "list lamps"), ())
    span = lamp.model.kelvin_range
    return light_words(lamp) + (f", set from {span[0]:g} to {span[1]:g} K" if span else "")
