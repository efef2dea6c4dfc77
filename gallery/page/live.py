"""What the script needs of a frame beside words: the light of its lamps, and the arrangement that it fills in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from gallery.again.document import again_pieces
from gallery.again.pieces import pieces_facts
from gallery.files.names import file_name
from gallery.sheet.finished import FinishedSheet
from render.camera.locked_exposure import LockedExposure
from render.camera.steps import THIRDS, shutter_name, step_value
from render.frame import Frame
from render.images.passes.rungs import FIRST_RUNG
from render.images.tracing import Tracing
from render.shot_light import shot_light

from .relight.facts import frame_facts, shared_facts
from .relight.lamp_pictures import EXPOSURE_STOPS
from .relight.layers import Layers
from .relight.rounding import rounded

UNKNOWN_KELVIN: Final = 5500.0
"""Where white balance begins by hand in coloured light, which has no colour temperature: daylight."""


def live_facts(
    sheet: FinishedSheet, frames: Sequence[Frame], tracing: Tracing
) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """Return the facts of each frame of a sheet, and those that all share."""
    layers, passes = Layers(), FIRST_RUNG
    facts = []
    for frame in frames:
        light, locked = shot_light(frame.shot, tracing, passes), LockedExposure(frame.exposure, frame.white)
        relight = frame_facts(light, locked, tracing, passes, layers)
        full_lux = rounded(light.hero.facing_lux)
        facts.append({"relight": relight, "full_lux": full_lux, **_settings(frame), **_again(sheet, frame)})
    return facts, shared_facts(layers)


def shutter_names(shutter_s: float) -> list[str]:
    """Return the shutter times from EXPOSURE_STOPS under one to as many over it, in thirds of a stop."""
    thirds = EXPOSURE_STOPS * THIRDS
    return [shutter_name(step_value(third, shutter_s)) for third in range(-thirds, thirds + 1)]


def _settings(frame: Frame) -> dict[str, Any]:
    shutter_s = frame.exposure.shutter_s
    white_kelvin = frame.white_balance_kelvin or UNKNOWN_KELVIN
    return {"shutter_s": shutter_s, "shutters": shutter_names(shutter_s), "white_kelvin": white_kelvin}


def _again(sheet: FinishedSheet, frame: Frame) -> dict[str, Any]:
    pieces = again_pieces(sheet.arrangement, frame, sheet.request.frame_options)
    name = file_name(frame.setup.name, frame.shot.finish, "again", ending=".toml")
    return {"again": pieces_facts(pieces), "again_name": name}
