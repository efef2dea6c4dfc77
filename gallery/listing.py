"""The `list` command: what there is to name, each in one line."""

from __future__ import annotations

from materials.finishes import named_finishes
from scenes.arrangement import LampModel
from scenes.cameras import camera_kinds
from scenes.kit import generic_lamps
from scenes.setups import load_setup, setup_names


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
            return {lamp.name: _lamp_words(lamp) for lamp in generic_lamps()}
        case _:
            return {
                name: f"f/{kind.f_number:g}, ISO {kind.iso:g}: {kind.description}"
                for name, kind in camera_kinds().items()
            }


def _lamp_words(lamp: LampModel) -> str:
    width, height = lamp.extent_cm
    size = f"{width:g} x {height:g} cm" if lamp.kind == "panel" else f"{width:g} cm across"
    return f"{lamp.kind}, {size}, {lamp.lumens:g} lm, {lamp.kelvin:g} K"
