"""Lines that stand under a frame: its exposure and its readings."""

from __future__ import annotations

from typing import Final

from gallery.frames.close_up import detail_facts, detail_lines
from render.frame import Frame

from .exposure import exposure_caption

BURNT_PERCENT: Final = 1.0
"""Of the backdrop clipped, above which it is said."""


def frame_lines(frame: Frame) -> list[str]:
    """Return a frame's exposure and everything measured on it, a line each."""
    return [
        exposure_caption(frame), *_meter_lines(frame), *reading_lines(frame), *highlight_lines(frame),
        *detail_lines(detail_facts(frame)),
    ]  # fmt: skip


def reading_lines(frame: Frame) -> list[str]:
    """Return the readings of every frame: backdrop, clipping, room light; a line each."""
    readings = frame.readings
    lines = []
    if backdrop := _backdrop_readings(frame):
        lines.append(", ".join(backdrop))
    if readings.clipped_percent is not None:
        lines.append(f"subject {readings.clipped_percent:.1f} % clipped")
    if readings.room_stops is not None:
        lines.append(f"room light {readings.room_stops:.1f} stops under all of it")
    return lines


def _meter_lines(frame: Frame) -> list[str]:
    """Return what the exposure was metered by; nothing where the arrangement fixes it, or where there is no light."""
    is_metered = frame.shot.camera.shutter_s is None and frame.readings.subject_lux != 0
    return [f"metered: {frame.metered}"] if is_metered else []


def _backdrop_readings(frame: Frame) -> list[str]:
    """Return how bright the backdrop is beside the subject, and how much of it is burnt where no setup wants that."""
    under, burnt = frame.readings.backdrop_stops, frame.readings.backdrop_clipped_percent
    wants_white = any(lamp.sheet_over_white is not None for lamp in frame.shot.setup.lamps)
    readings = (
        [] if under is None else [f"backdrop {abs(under):.1f} stops {'over' if under > 0 else 'under'} the model"]
    )
    if burnt is not None and burnt > BURNT_PERCENT and not wants_white:
        readings.append(f"sheet {burnt:.0f} % burnt")
    return readings


def highlight_lines(frame: Frame) -> list[str]:
    """Return the readings that compare finishes: shine and fine contrast; a line each."""
    readings = frame.readings
    lines = []
    if readings.shine_lightness is not None and readings.highlight_percent is not None:
        shine = readings.shine_lightness
        lines.append(f"shine {shine:.1f}, highlights on {readings.highlight_percent:.1f} % of the model")
    if readings.texture_contrast_stops is not None:
        lines.append(f"fine contrast {readings.texture_contrast_stops:.2f} stops")
    return lines
