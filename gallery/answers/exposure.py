"""`spruelight ask exposure`: what the frame is exposed with, and whether the light is enough for other settings."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from gallery.captions.exposure import settings_caption
from gallery.checks.unlit import unlit_warnings
from render.camera.exposure import LONGEST_BY_HAND_S, Exposure
from render.hero_light import HeroLight
from scenes.arrangement.arrangement import CameraModel
from scenes.units import ratio, stops

from .enough import enough_settings
from .setup_light import FrameExposure
from .unlit import require_light


@dataclass(frozen=True)
class Wish:
    """The settings that are asked about; what is left out is as the frame has it."""

    f_number: float | None = None
    shutter_s: float | None = None
    iso: float | None = None

    def over(self, frame: Exposure) -> Exposure:
        """Return the exposure that is asked about, where the frame has another."""
        return replace(frame, **{key: value for key, value in vars(self).items() if value is not None})


def exposure_facts(light: HeroLight, frame: FrameExposure, wish: Wish) -> dict[str, Any]:
    """Return the frame's exposure; with a wish, whether the light is enough for it on a tripod, and by hand.

    By hand the shutter is no longer than 1/60 s. `over_meter_stops` is how much brighter than metered the settings are
    that an arrangement fixes.

    Raises
    ------
    InputError
        Where the hero gets no light.
    """
    require_light(light)
    exposure, short, camera = frame.chosen.exposure, frame.chosen.short_stops, light.shot.camera
    fixed = camera.shutter_s is not None
    facts = {
        "setup": light.setup.name, "lux": light.metered_lux, "basis": light.basis, "room_lux": light.room_lux,
        "lux_error": light.lux_error, "stops": light.exposure_stops, "metered": frame.basis,
        "settings": settings_caption(exposure), "shutter_s": exposure.shutter_s, "iso": exposure.iso,
        "f_number": exposure.f_number, "effective_f_number": exposure.effective_f_number,
        "over_meter_stops": stops(frame.lux / needed_lux(light, exposure)) if fixed else None,
        "short_stops": short if math.isfinite(short) else None, "remedy": frame.chosen.remedy,
        "doubts": [*unlit_warnings(light.setup), *_other_lens(camera, wish)],
    }  # fmt: skip
    if wish == Wish():
        return facts
    asked = wish.over(exposure)
    by_hand = replace(asked, shutter_s=min(asked.shutter_s, LONGEST_BY_HAND_S))
    return {
        **facts,
        "tripod": _margin(light, frame, asked, by_hand=False),
        "by_hand": _margin(light, frame, by_hand, by_hand=True),
    }


def exposure_lines(facts: dict[str, Any]) -> list[str]:
    """Return the light, the frame's exposure, whether it is enough for a wish, and what is doubtful; a line each."""
    over = f", exposed {facts['stops']:+.1f} stops" if facts["stops"] else ""
    lux = f"{facts['lux']:.0f}" if facts["lux"] >= 10 else f"{facts['lux']:.2g}"
    lines = [f"{facts['setup']} gives the hero {lux} lx ({facts['basis']}){over}", _frame_line(facts)]
    if "tripod" in facts:
        lines.append(_margin_line("on a tripod", facts["tripod"]))
        if facts["by_hand"]["shutter_s"] < facts["tripod"]["shutter_s"]:
            lines.append(_margin_line("by hand", facts["by_hand"]))
    return [*lines, *facts["doubts"]]


def needed_lux(light: HeroLight, exposure: Exposure) -> float:
    """Return the illuminance that an exposure needs on the metering receptor, exposed as bright as the frame, lx."""
    return exposure.incident_lux * ratio(light.exposure_stops)


def _margin(light: HeroLight, frame: FrameExposure, exposure: Exposure, *, by_hand: bool) -> dict[str, Any]:
    """Return by how much the light is enough, and what each setting would have to be by itself to make it just enough.

    `lamps_factor` is the factor on the lamps' light alone, without the room's, that would; of a frame that is metered
    as a whole, the room's share is taken to be that at the hero. `ways` are the camera's own settings that are enough.
    """
    needed = needed_lux(light, exposure)
    share = frame.lux / needed
    lamps = 1.0 - light.room_lux / light.metered_lux
    return {
        "settings": settings_caption(exposure), "f_number": exposure.f_number, "shutter_s": exposure.shutter_s,
        "iso": exposure.iso, "effective_f_number": exposure.effective_f_number, "needed_lux": needed,
        "stops_to_spare": stops(share), "lamps_factor": (1 / share - 1 + lamps) / lamps if lamps > 0 else None,
        "or_shutter_s": exposure.shutter_s / share, "or_iso": exposure.iso / share,
        "or_f_number": exposure.f_number * share**0.5,
        "ways": enough_settings(light.shot.camera, exposure, share, by_hand=by_hand),
    }  # fmt: skip


def _other_lens(camera: CameraModel, wish: Wish) -> list[str]:
    """Return a sentence where an f-number is asked about that the camera's lens does not have."""
    if wish.f_number is None or camera.body.accepts(wish.f_number):
        return []
    return [f"f/{wish.f_number:g} takes another lens: {camera.body.description} has {camera.body.apertures}"]


def _frame_line(facts: dict[str, Any]) -> str:
    line = f"its frame: {facts['settings']}"
    if (over := facts["over_meter_stops"]) is not None:
        return f"{line}, fixed: {abs(over):.1f} stops {'brighter' if over >= 0 else 'darker'} than metered"
    metered = "" if facts["metered"] == facts["basis"] else f", metered by {facts['metered']}"
    return line + metered + (f"; it {facts['remedy']}" if facts["remedy"] else "")


def _margin_line(support: str, facts: dict[str, Any]) -> str:
    spare, factor = facts["stops_to_spare"], facts["lamps_factor"]
    settings = f"{support}, {facts['settings']}"
    if spare >= 0:
        return f"{settings}: enough, {spare:.1f} stops to spare{_dimmed(factor)}"
    lamps = [] if factor is None else [f"{factor:.{0 if factor >= 10 else 1}f} times the lumens"]
    ways = ", or ".join([*lamps, *facts["ways"]]) or "lamps"
    return f"{settings}: {-spare:.1f} stops short: it takes {ways}"


def _dimmed(factor: float | None) -> str:
    if factor is None or factor <= 0:
        return ", by the room's light alone"
    return f" (with the lamps at {100 * factor:.0f} % of what they give now)"
