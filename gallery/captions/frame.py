"""Lines that stand under a frame: its exposure and its readings."""

from __future__ import annotations

from gallery.frames.close_up import detail_facts, detail_lines
from render.frame import Frame

from .exposure import exposure_caption


def frame_lines(frame: Frame) -> list[str]:
    """Return a frame's exposure and everything measured on it, a line each."""
    return [
        exposure_caption(frame), *reading_lines(frame), *highlight_lines(frame), *detail_lines(detail_facts(frame))
    ]  # fmt: skip


def reading_lines(frame: Frame) -> list[str]:
    """Return the readings of every frame: backdrop, clipping, room light; a line each."""
    readings = frame.readings
    lines = []
    if readings.backdrop_stops is not None:
        side = "over" if readings.backdrop_stops > 0 else "under"
        lines.append(f"backdrop {abs(readings.backdrop_stops):.1f} stops {side}")
    if readings.clipped_percent is not None:
        lines.append(f"subject {readings.clipped_percent:.1f} % clipped")
    if readings.room_stops is not None:
        lines.append(f"room light {readings.room_stops:.1f} stops under all of it")
    return lines


def highlight_lines(frame: Frame) -> list[str]:
    """Return the readings that compare finishes: highlights and fine contrast; a line each."""
    readings = frame.readings
    lines = []
    if readings.highlight_percent is not None and readings.highlight_peak_stops is not None:
        peak = readings.highlight_peak_stops
        lines.append(f"highlights {readings.highlight_percent:.1f} %, peak {peak:+.1f} stops")
    if readings.texture_contrast_stops is not None:
        lines.append(f"fine contrast {readings.texture_contrast_stops:.2f} stops")
    return lines
