"""`spruelight list`: what can be named, each in a line.

Each kind imports what it needs and no more, so that the answer is quick.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from materials.surface.named_finishes import NamedFinish

GLOSS_LIMITS: Final = (
    "over black; set right at 60 degrees, and at 85 inside the published level of that gloss by a rule for all coats: "
    "real ones differ there within their level, 10 to 35 GU of velvet and eggshell; a white base adds 2 GU at 60"
)
UNBOUND: Final = (
    "primer = true: too little binder to fill the pores between pigment (above the critical pigment volume, Asbeck and "
    "Van Loo 1949), as in primers, chalky flat paints, gouache, pigment powders and bare card (common practice, no "
    "source); what a drop of water darkens, a topcoat darkens too"
)


def catalogue(kind: str) -> dict[str, str]:
    """Return descriptions by name of setups, finishes, metals, lamps or cameras."""
    return {"setups": _setups, "finishes": _finishes, "metals": _metals, "lamps": _lamps, "cameras": _cameras}[kind]()


def catalogue_lines(descriptions: dict[str, str]) -> list[str]:
    """Return a line for each name."""
    return [f"{name:16} {description}" for name, description in descriptions.items()]


def _setups() -> dict[str, str]:
    from scenes.setups.setup import load_setup, setup_names

    return {name: load_setup(name).reads_as for name in setup_names()}


def _finishes() -> dict[str, str]:
    from materials.surface.named_finishes import named_finishes

    return {name: _gloss(finish) for name, finish in named_finishes().items()} | {
        "unbound": UNBOUND,
        "limits": GLOSS_LIMITS,
    }


def _gloss(finish: NamedFinish) -> str:
    """Return a glossmeter's readings of a finish over black at its three angles, and the range that its name means."""
    from materials.surface.glossmeter import RECEPTORS, gloss_units, roughness_from_gloss

    roughness = roughness_from_gloss(finish.gloss_units)
    at_20, at_60, at_85 = (gloss_units(roughness, angle_deg=angle) for angle in sorted(RECEPTORS))
    readings = f"{at_20:5.1f} GU at 20, {at_60:5.1f} at 60, {at_85:5.1f} at 85 degrees"
    return f"{readings}; labels mean {finish.low:g} to {finish.high:g}: {finish.description}"


def _metals() -> dict[str, str]:
    from materials.surface.metals import named_metals

    return {name: f"{metal.description}: {_reflectance(name)}" for name, metal in named_metals().items()}


def _reflectance(metal: str) -> str:
    """Return how much of daylight a metal reflects, and its colour."""
    from materials.colour.srgb import hex_colour, linear_srgb_under_d65, srgb_encode
    from materials.light.spectra import luminance_factor
    from materials.surface.metals import metal_reflectance

    reflectance = metal_reflectance(metal)
    linear = linear_srgb_under_d65(reflectance).clip(0, 1)
    return f"reflects {100 * luminance_factor(reflectance):.0f} %, {hex_colour(srgb_encode(linear))}"


def _lamps() -> dict[str, str]:
    from scenes.arrangement.lamp_model import lamp_presets

    return {name: f"{preset['description']}: {_preset(name)}" for name, preset in lamp_presets().items()}


def _preset(name: str) -> str:
    from gallery.captions.lamp import lamp_line
    from scenes.arrangement.folder import Folder
    from scenes.arrangement.owned import resolve_lamp

    lamp = resolve_lamp({"name": name, "preset": name}, Folder(Path(), "list lamps"), ())
    span = lamp.model.kelvin_range
    return lamp_line(lamp) + (f", set from {span[0]:g} to {span[1]:g} K" if span else "")


def _cameras() -> dict[str, str]:
    from gallery.captions.camera import body_line
    from scenes.stage.cameras import camera_bodies

    return {name: body_line(body) for name, body in camera_bodies().items()}
