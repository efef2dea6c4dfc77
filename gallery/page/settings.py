"""Camera settings and readings of a frame as labelled values, from its facts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from render.camera.steps import f_number_name, iso_name, shutter_name


def _digits(pattern: str) -> Callable[[float], str]:
    return pattern.format


def _over_or_under(stops: float) -> str:
    return f"{abs(stops):.1f} stops {'over' if stops > 0 else 'under'}"


READINGS: Final[dict[str, tuple[str, Callable[[float], str]]]] = {
    "subject_lux": ("light at the hero", _digits("{:.0f} lux")),
    "key_to_fill_stops": ("contrast: all light against all but the key", _digits("{:.1f} stops")),
    "backdrop_stops": ("backdrop, beside the model", _over_or_under),
    "clipped_percent": ("model clipped to white", _digits("{:.1f} %")),
    "backdrop_clipped_percent": ("backdrop clipped to white", _digits("{:.1f} %")),
    "crushed_percent": ("model lost in black", _digits("{:.1f} %")),
    "edge_stops": ("model against backdrop, at its outline", _digits("{:.1f} stops")),
    "room_stops": ("room light, under all light together", _digits("{:.1f} stops")),
    "shine_lightness": ("shine, in lightness", _digits("{:.1f}")),
    "highlight_percent": ("highlights on the model", _digits("{:.1f} %")),
    "texture_contrast_stops": ("fine contrast", _digits("{:.2f} stops")),
}
"""Of each reading what it is called, and how it is written."""


def reading_rows(readings: dict[str, float | None]) -> list[tuple[str, str]]:
    """Return label and value of each reading; a dash where there was nothing to measure."""
    return [
        (label, "–" if (value := readings[name]) is None else written(value))
        for name, (label, written) in READINGS.items()
    ]


def setting_lines(camera: dict[str, Any]) -> list[str]:
    """Return shutter, f-number, ISO and white balance, as in the frame."""
    kelvin = camera["white_balance_kelvin"]
    white = "white balance by the light: it is coloured" if kelvin is None else f"white balance {kelvin} K"
    return [*exposure_lines(camera), white]


def exposure_lines(camera: dict[str, Any]) -> list[str]:
    """Return shutter, f-number and ISO."""
    return [shutter_name(camera["shutter_s"]), f_number_name(camera["f_number"]), iso_name(camera["iso"])]
