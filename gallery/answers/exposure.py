"""`spruelight ask exposure`: what the frame is exposed with, and whether the light is enough for other settings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from render.camera.exposure import LONGEST_BY_HAND_S, ChosenExposure, Exposure
from render.camera.steps import f_number_name, iso_name, shutter_name
from render.hero_light import HeroLight
from scenes.units import ratio, stops

from .unlit import require_light

TRIPOD: Final = "on a tripod"


@dataclass(frozen=True)
class Wish:
    """The settings that are asked about; what is left out is as the frame has it."""

    f_number: float | None = None
    shutter_s: float | None = None
    iso: float | None = None

    def over(self, frame: Exposure) -> Exposure:
        """Return the exposure that is asked about, where the frame has another."""
        return replace(frame, **{key: value for key, value in vars(self).items() if value is not None})


def exposure_facts(light: HeroLight, frame: ChosenExposure, wish: Wish) -> dict[str, Any]:
    """Return the frame's exposure; with a wish, whether the light is enough for it on a tripod, and by hand.

    By hand the shutter is no longer than 1/60 s.

    Raises
    ------
    InputError
        Where the hero gets no light.
    """
    require_light(light)
    exposure = frame.exposure
    facts = {
        "setup": light.setup.name, "lux": light.metered_lux, "basis": light.basis, "room_lux": light.room_lux,
        "lux_error": light.lux_error, "stops": light.exposure_stops, "shutter_s": exposure.shutter_s,
        "iso": exposure.iso, "f_number": exposure.f_number, "effective_f_number": exposure.effective_f_number,
        "short_stops": frame.short_stops, "remedy": frame.remedy,
    }  # fmt: skip
    if wish == Wish():
        return facts
    asked = wish.over(exposure)
    by_hand = replace(asked, shutter_s=min(asked.shutter_s, LONGEST_BY_HAND_S))
    return {**facts, "tripod": _margin(light, asked), "by_hand": _margin(light, by_hand)}


def exposure_lines(facts: dict[str, Any]) -> list[str]:
    """Return the light, the frame's exposure, and whether it is enough for a wish; a line each."""
    over = f", exposed {facts['stops']:+.1f} stops" if facts["stops"] else ""
    lines = [
        f"{facts['setup']} gives the hero {facts['lux']:.0f} lx ({facts['basis']}){over}",
        f"its frame: {_settings(facts)}" + (f"; {facts['remedy']}" if facts["remedy"] else ""),
    ]
    if "tripod" in facts:
        lines.append(_margin_line(TRIPOD, facts["tripod"]))
        if facts["by_hand"]["shutter_s"] < facts["tripod"]["shutter_s"]:
            lines.append(_margin_line("by hand", facts["by_hand"]))
    return lines


def needed_lux(light: HeroLight, exposure: Exposure) -> float:
    """Return the illuminance that an exposure needs on the metering receptor, exposed as bright as the frame, lx."""
    return exposure.incident_lux * ratio(light.exposure_stops)


def _margin(light: HeroLight, exposure: Exposure) -> dict[str, float | None]:
    """Return by how much the light is enough, and what each setting would have to be by itself to make it just enough.

    `lamps_factor` is the factor on the lamps' light alone, without the room's, that would.
    """
    needed = needed_lux(light, exposure)
    share = light.metered_lux / needed
    lamps_lux = light.metered_lux - light.room_lux
    factor = (needed - light.room_lux) / lamps_lux if lamps_lux > 0 else None
    return {
        "f_number": exposure.f_number, "shutter_s": exposure.shutter_s, "iso": exposure.iso,
        "effective_f_number": exposure.effective_f_number,
        "needed_lux": needed, "stops_to_spare": stops(share), "lamps_factor": factor,
        "or_shutter_s": exposure.shutter_s / share, "or_iso": exposure.iso / share,
        "or_f_number": exposure.f_number * share**0.5,
    }  # fmt: skip


def _margin_line(support: str, facts: dict[str, Any]) -> str:
    spare, factor = facts["stops_to_spare"], facts["lamps_factor"]
    settings = f"{support}, {_settings(facts)}"
    if spare >= 0:
        return f"{settings}: enough, {spare:.1f} stops to spare{_dimmed(factor)}"
    more = "" if factor is None else f"{factor:.1f} times the lumens, or "
    longer = f"{facts['or_shutter_s']:.2g} s, or " if support == TRIPOD else ""
    return (
        f"{settings}: {-spare:.1f} stops short: it takes {more}{longer}"
        f"ISO {facts['or_iso']:.0f}, or f/{facts['or_f_number']:.1f}"
    )


def _settings(facts: dict[str, Any]) -> str:
    return "  ".join([shutter_name(facts["shutter_s"]), f_number_name(facts["f_number"]), iso_name(facts["iso"])])


def _dimmed(factor: float | None) -> str:
    if factor is None or factor <= 0:
        return ", by the room's light alone"
    return f" (with the lamps at {100 * factor:.0f} % of what they give now)"
