"""Frames of no light, for what is written about them."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, Final

import numpy as np

from materials.light.spectra import blackbody, xyz
from render.camera.exposure import Exposure
from render.camera.locked_exposure import WhitePoint
from render.description.lit_emitter import lit_emitters
from render.frame import Frame
from render.hero_light import HeroLight
from render.readings.metering import Readings
from tests.support.sheets.strips import strip

NOTHING_READ: Final = Readings(**{field.name: None for field in fields(Readings)})

WHITE: Final = WhitePoint(xyz(blackbody(4000.0)), 4000.0)
EXPOSURE: Final = Exposure(1 / 60, 50, 1.7)


def unlit_frame(
    setup: str = "loop", finish: str = "as-built", exposure: Exposure = EXPOSURE,
    size: tuple[int, int] = (3, 4), **readings: Any,
) -> Frame:  # fmt: skip
    """Return a black frame, size width x height, of the demo under a setup, with these readings."""
    shot = replace(strip("finish=gloss,matt", setup).base, finish=finish)
    rgb = np.zeros((size[1], size[0], 3), np.uint8)
    return Frame(shot, shot.setup, rgb, exposure, WHITE, WHITE, "facing the key", replace(NOTHING_READ, **readings))


def even_light(frame: Frame, lux: float = 100.0) -> HeroLight:
    """Return a light at a frame's hero of which every lamp, and the room where it is lit, give as much everywhere."""
    emitters = lit_emitters(frame.setup, frame.shot.room)
    return HeroLight(frame.shot, frame.setup, np.full((len(emitters), 2, 2, len(frame.setup.lamps) + 1), lux))
