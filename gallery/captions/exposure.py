"""Exposures in a few characters."""

from __future__ import annotations

from render.frame import Frame


def exposure_caption(frame: Frame) -> str:
    """Return the camera's settings: `1/60 s  f/1.8  ISO 50  4000 K`."""
    exposure, kelvin = frame.exposure, frame.white_balance_kelvin
    white = "coloured light" if kelvin is None else f"{kelvin:.0f} K"
    return f"{format_shutter(exposure.shutter_s)}  f/{exposure.f_number:g}  ISO {exposure.iso:g}  {white}"


def format_shutter(seconds: float) -> str:
    """Return a shutter time as cameras show it: `1.3 s`, `1/60 s`."""
    if seconds >= 0.3:
        return f"{seconds:.1f} s"
    return f"1/{1 / seconds:.0f} s"
