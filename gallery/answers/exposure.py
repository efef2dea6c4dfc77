"""`spruelight ask exposure`: whether the lamps are enough for an exposure, on a tripod and by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from render.camera.exposure import Exposure
from render.camera.steps import shutter_name
from scenes.errors import InputError
from scenes.units import stops

from .hero_light import HeroLight

LONGEST_BY_HAND_S: Final = 1 / 60
"""The longest shutter time that is held steady by hand (common practice, no source)."""
TRIPOD: Final = "on a tripod"


def exposure_facts(light: HeroLight, exposure: Exposure) -> dict[str, Any]:
    """Return whether the light is enough for an exposure on a tripod, and by hand with a shutter no longer than 1/60 s.

    Raises
    ------
    InputError
        Where the hero gets no light.
    """
    if light.lux <= 0:
        raise InputError(f"setup '{light.shot.setup.name}' gives the hero no light: its lamps are off or turned away")
    by_hand = replace(exposure, shutter_s=min(exposure.shutter_s, LONGEST_BY_HAND_S))
    return {
        "setup": light.shot.setup.name,
        "lux": light.lux,
        "room_lux": light.room_lux,
        "tripod": _margin(light, exposure),
        "by_hand": _margin(light, by_hand),
    }


def exposure_lines(facts: dict[str, Any]) -> list[str]:
    """Return whether the light is enough, on a tripod and by hand, a line each."""
    lines = [f"{facts['setup']} gives the hero {facts['lux']:.0f} lx"]
    lines.append(_margin_line(TRIPOD, facts["tripod"]))
    if facts["by_hand"]["shutter_s"] < facts["tripod"]["shutter_s"]:
        lines.append(_margin_line("by hand", facts["by_hand"]))
    return lines


def _margin(light: HeroLight, exposure: Exposure) -> dict[str, float | None]:
    """Return by how much the light is enough, and what each setting would have to be by itself to make it just enough.

    `lamps_factor` is the factor on the lamps' light alone, without the room's, that would.
    """
    share = light.lux / exposure.incident_lux
    lamps_lux = light.lux - light.room_lux
    factor = (exposure.incident_lux - light.room_lux) / lamps_lux if lamps_lux > 0 else None
    return {
        "f_number": exposure.f_number, "shutter_s": exposure.shutter_s, "iso": exposure.iso,
        "needed_lux": exposure.incident_lux, "stops_to_spare": stops(share), "lamps_factor": factor,
        "or_shutter_s": exposure.shutter_s / share, "or_iso": exposure.iso / share,
        "or_f_number": exposure.f_number * share**0.5,
    }  # fmt: skip


def _margin_line(support: str, facts: dict[str, Any]) -> str:
    spare, factor = facts["stops_to_spare"], facts["lamps_factor"]
    settings = f"{support}, {shutter_name(facts['shutter_s'])} f/{facts['f_number']:g} ISO {facts['iso']:g}"
    if spare >= 0:
        return f"{settings}: enough, {spare:.1f} stops to spare{_dimmed(factor)}"
    more = "" if factor is None else f"{factor:.1f} times the lumens, or "
    longer = f"{facts['or_shutter_s']:.2g} s, or " if support == TRIPOD else ""
    return (
        f"{settings}: {-spare:.1f} stops short: it takes {more}{longer}"
        f"ISO {facts['or_iso']:.0f}, or f/{facts['or_f_number']:.1f}"
    )


def _dimmed(factor: float | None) -> str:
    if factor is None or factor <= 0:
        return ", by the room's light alone"
    return f" (with the lamps at {100 * factor:.0f} % of what they give now)"
