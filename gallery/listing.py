"""The `list` command: what there is to name, each in one line."""

from __future__ import annotations

from materials.named import named_finishes
from scenes.cameras import camera_kinds
from scenes.lamps import LampModel, lamp_presets
from scenes.setups import load_setup, setup_names

from .lamp_words import light_words


def listed(what: str) -> dict[str, str]:
    """Return names with what each is, for setups, finishes, lamps or cameras."""
    match what:
        case "setups":
            return {name: load_setup(name).reads_as for name in setup_names()}
        case "finishes":
            return {
                name: f"{finish.gloss_units:g} GU at 60 degrees: {finish.description}"
                for name, finish in named_finishes().items()
            }
        case "lamps":
            return {name: f"{preset['description']}: {_preset_words(name)}" for name, preset in lamp_presets().items()}
        case _:
            return {
                name: f"f/{kind.f_number:g}, ISO {kind.iso:g}: {kind.description}"
                for name, kind in camera_kinds().items()
            }


def _preset_words(name: str) -> str:
    lamp = LampModel(name=name, preset=name)
    span = lamp.kelvin_range
    return light_words(lamp) + (f", set from {span[0]:g} to {span[1]:g} K" if span else "")
