"""How a photograph differs from the plan, in sentences."""

from __future__ import annotations

from typing import Final

from gallery.captions.exposure import settings_caption
from render.camera.steps import f_number_name, iso_name, shutter_name
from render.frame import Frame
from scenes.units import stops

from .photo_settings import PhotoSettings

SAME_STOPS: Final = 0.05
"""Two exposures that differ by less are called the same."""


def comparison_words(settings: PhotoSettings, frame: Frame, gap: float, gain: float) -> list[str]:
    """Return how a photograph differs from a frame, and what was done to it, in sentences.

    Parameters
    ----------
    gap
        How much brighter its pixels are than the frame's, stops.
    gain
        How much brighter it is shown than it was taken, stops.
    """
    came_out = f"By its pixels it came out {_difference(gap, 'brighter', 'darker')}"
    change = f"made {_stops(gain, 'brighter', 'darker')}" if abs(gain) >= SAME_STOPS else "as bright as it was"
    return [
        f"The plan is {settings_caption(frame.exposure).replace('  ', ', ')}; {_taken_words(settings)}",
        *_light_words(settings, frame, gap, came_out),
        _white_words(settings, frame),
        f"It is shown cropped in the middle to the prediction's shape and {change}; it is not aligned. This copy has "
        "none of its EXIF: no place, time or serial number.",
    ]


def _light_words(settings: PhotoSettings, frame: Frame, gap: float, came_out: str) -> list[str]:
    planned = frame.exposure
    if settings.exposure is None:
        return [f"{came_out}."]
    more = stops(settings.exposure / (planned.shutter_s * planned.iso / planned.f_number**2))
    return [
        f"By its settings it is exposed {_difference(more, 'more', 'less')}.",
        f"{came_out}, so the light on the table is {_difference(gap - more, 'stronger', 'weaker')}, as far as the "
        "camera's own processing tells.",
    ]


def _taken_words(settings: PhotoSettings) -> str:
    known = [
        *([] if settings.shutter_s is None else [shutter_name(settings.shutter_s)]),
        *([] if settings.f_number is None else [f_number_name(settings.f_number)]),
        *([] if settings.iso is None else [iso_name(settings.iso)]),
    ]
    if not known:
        return "the photograph's file does not say its settings."
    missing = f"; its file does not say {' and '.join(settings.missing)}" if settings.missing else ""
    return f"the photograph has {', '.join(known)}{missing}."


def _white_words(settings: PhotoSettings, frame: Frame) -> str:
    kelvin = frame.white_balance_kelvin
    plan = "by a grey card" if kelvin is None else f"{kelvin:.0f} K"
    if settings.white_balance is None:
        return f"White balance in the plan: {plan}; the photograph's file does not say its own."
    light = f", for {settings.light_source}" if settings.light_source else ""
    return f"White balance in the plan: {plan}; of the photograph: {settings.white_balance}{light}."


def _difference(number: float, more: str, less: str) -> str:
    """Return a difference from the plan in words: `1.3 stops more than planned`, `as planned`."""
    return "as planned" if abs(number) < SAME_STOPS else f"{_stops(number, more, less)} than planned"


def _stops(number: float, more: str, less: str) -> str:
    return f"{abs(number):.1f} stops {more if number > 0 else less}"
