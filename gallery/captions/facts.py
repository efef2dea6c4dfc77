"""Frames as plain data, for JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from gallery.frames.close_up import detail_facts
from render.frame import Frame
from scenes.setups.place_setup import LeftOut
from scenes.setups.placed import PlacedLamp
from scenes.setups.placement_words.facts import placement_facts

from .exposure import shared_exposure_words
from .lamp import light_facts

FORMAT = 1
"""Version of the JSON files' layout."""


def frame_facts(frame: Frame) -> dict[str, Any]:
    """Return a frame as plain data: its setup, lamps, cards, camera, placement and readings."""
    placement = placement_facts(frame.setup, frame.shot.camera)
    places = zip(frame.setup.lamps, placement["lamps"], strict=True)
    return {
        "setup": frame.setup.name,
        "finish": frame.shot.finish,
        "reads_as": frame.setup.reads_as,
        "lacks": list(frame.setup.shortfalls),
        "lamps": [_lamp_facts(lamp, place["words"]) for lamp, place in places],
        "cards": [card.model_dump(mode="json") for card in frame.setup.cards],
        "camera": camera_facts(frame),
        **({"detail": detail} if (detail := detail_facts(frame)) else {}),
        "placement": placement,
        "readings": {name: _rounded(value) for name, value in asdict(frame.readings).items()},
    }


def camera_facts(frame: Frame) -> dict[str, Any]:
    """Return a frame's settings and where its lens is as plain data."""
    exposure = frame.exposure
    return {
        "iso": _rounded(exposure.iso),
        "shutter_s": _rounded(exposure.shutter_s),
        "f_number": exposure.f_number,
        "effective_f_number": _rounded(exposure.effective_f_number),
        "white_balance_kelvin": frame.white_balance_kelvin and round(frame.white_balance_kelvin),
        "ev100": round(exposure.ev100, 3),
        "metered": frame.metered,
        "at_cm": [round(v, 1) for v in frame.setup.view.at_cm],
    }


def sheet_facts(title: str, frames: Sequence[Frame], left_out: Sequence[LeftOut] = ()) -> dict[str, Any]:
    """Return a contact sheet as plain data."""
    without_room = [asdict(setup) for setup in left_out]
    return {
        "format": FORMAT,
        "title": title,
        "exposure": shared_exposure_words(frames),
        "frames": [frame_facts(f) for f in frames],
        "left_out": without_room,
    }


def _lamp_facts(lamp: PlacedLamp, words: str) -> dict[str, Any]:
    return {
        "name": lamp.name,
        "role": lamp.role,
        "at_cm": list(lamp.place.at_cm),
        "aim_cm": list(lamp.place.aim_cm),
        "words": words,
        **{name: _rounded(value) for name, value in light_facts(lamp.lamp).items()},
        "dimmer": round(lamp.dimmer, 4),
    }


def _rounded(value: float | None) -> float | None:
    """Return a number to five significant digits."""
    return None if value is None else float(f"{value:.5g}")
