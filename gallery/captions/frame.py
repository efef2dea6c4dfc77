"""Frames as facts: what sheet.json and the printed lines say."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from gallery.frames.close_up import detail_facts
from render.frame import Frame
from render.images.tracing import Tally
from scenes.setups.placed import PlacedLamp
from scenes.setups.placement_words import placement_words

from .lamp import kelvin_words, light_facts

FORMAT = 1


def frame_facts(frame: Frame) -> dict[str, Any]:
    """Return a frame as plain data for JSON."""
    exposure = frame.exposure
    return {
        "setup": frame.setup.name,
        "finish": frame.shot.finish,
        "reads_as": frame.setup.reads_as,
        "lacks": list(frame.setup.lacks),
        "lamps": [_lamp_facts(lamp) for lamp in frame.setup.lamps],
        "cards": [card.model_dump(mode="json") for card in frame.setup.cards],
        "camera": {
            "iso": _rounded(exposure.iso),
            "shutter_s": _rounded(exposure.shutter_s),
            "f_number": exposure.f_number,
            "white_balance_kelvin": frame.white_balance_kelvin and round(frame.white_balance_kelvin),
            "ev100": round(exposure.ev100, 3),
            "at_cm": [round(v, 1) for v in frame.setup.view.at_cm],
        },
        **({"detail": detail} if (detail := detail_facts(frame)) else {}),
        "readings": {name: _rounded(value) for name, value in asdict(frame.readings).items()},
    }


def sheet_facts(title: str, frames: list[Frame]) -> dict[str, Any]:
    """Return a whole sheet as plain data for JSON."""
    return {"format": FORMAT, "title": title, "frames": [frame_facts(frame) for frame in frames]}


def tally_words(tally: Tally) -> str:
    """Return what was traced and what was found in the store: `traced 18 lamp images on 6 geometries, reused none`."""
    if not tally.traced:
        return f"traced nothing, reused {_count(len(tally.reused), 'lamp image')}"
    traced = f"{_count(len(tally.traced), 'lamp image')} on {_count(len(tally.geometries), 'geometry')}"
    return f"traced {traced}, reused {len(tally.reused - tally.traced) or 'none'}"


def placement_lines(frame: Frame) -> list[str]:
    """Return where each lamp and card stands, in words."""
    lamps = [
        f"{placement_words(lamp.role, lamp.place)}, {lamp.name} at {dimmer_words(lamp.dimmer)}"
        for lamp in frame.setup.lamps
    ]
    cards = [
        f"{card.name}: a card {card.size_cm[0]:.0f} x {card.size_cm[1]:.0f} cm, its centre at "
        f"{', '.join(f'{v + 0.0:.0f}' for v in np.round(card.at_cm))} cm (right, away, up)"
        for card in frame.setup.cards
    ]
    return lamps + cards


def lamp_words(lamp: PlacedLamp) -> str:
    """Return a lamp in a few words for a caption: `key 4000 K 100 %`."""
    return f"{lamp.role} {kelvin_words(lamp.lamp)} {dimmer_words(lamp.dimmer)}"


def dimmer_words(dimmer: float) -> str:
    """Return a dimmer as a percentage."""
    return f"{100 * dimmer:.0f} %"


def exposure_words(frame: Frame) -> str:
    """Return the camera's settings in a few words: `1/60 s  f/1.8  ISO 50  4000 K`."""
    e = frame.exposure
    kelvin = frame.white_balance_kelvin
    white = "coloured light" if kelvin is None else f"{kelvin:.0f} K"
    return f"{shutter_words(e.shutter_s)}  f/{e.f_number:g}  ISO {e.iso:g}  {white}"


def shutter_words(seconds: float) -> str:
    """Return a shutter time as cameras show it."""
    if seconds >= 0.3:
        return f"{seconds:.1f} s"
    return f"1/{1 / seconds:.0f} s"


def reading_words(frame: Frame) -> list[str]:
    """Return the readings that stand under a frame, a line each."""
    readings = frame.readings
    words = []
    if readings.backdrop_stops is not None:
        side = "over" if readings.backdrop_stops > 0 else "under"
        words.append(f"backdrop {abs(readings.backdrop_stops):.1f} stops {side}")
    if readings.clipped_percent is not None:
        words.append(f"subject {readings.clipped_percent:.1f} % clipped")
    if readings.room_stops is not None:
        words.append(f"room light {readings.room_stops:.1f} stops under all of it")
    return words


def shine_words(frame: Frame) -> list[str]:
    """Return what its finish does to a frame, a line each: where finishes are compared."""
    readings = frame.readings
    words = []
    if readings.highlight_percent is not None and readings.highlight_peak_stops is not None:
        peak = readings.highlight_peak_stops
        words.append(f"highlights {readings.highlight_percent:.1f} %, peak {peak:+.1f} stops")
    if readings.texture_contrast_stops is not None:
        words.append(f"fine contrast {readings.texture_contrast_stops:.2f} stops")
    return words


def _lamp_facts(lamp: PlacedLamp) -> dict[str, Any]:
    return {
        "name": lamp.name,
        "role": lamp.role,
        "at_cm": list(lamp.place.at_cm),
        "aim_cm": list(lamp.place.aim_cm),
        "words": placement_words(lamp.role, lamp.place),
        **{name: _rounded(value) for name, value in light_facts(lamp.lamp).items()},
        "dimmer": round(lamp.dimmer, 4),
    }


def _count(number: int, what: str) -> str:
    plural = what.removesuffix("y") + "ies" if what.endswith("y") else what + "s"
    return f"{number} {what if number == 1 else plural}"


def _rounded(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.5g}")
