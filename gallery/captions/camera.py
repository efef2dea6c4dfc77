"""A camera body in a line."""

from __future__ import annotations

from render.camera.steps import shutter_name
from scenes.stage.cameras import CameraBody


def body_line(body: CameraBody) -> str:
    """Return what a body can do: `a phone's main lens: 4.4 mm on 5.64 x 4.23 mm, f/1.7 only, ISO 50 to 3200, ...`."""
    shortest, longest = body.focal_mm
    focal = f"{shortest:g} mm" if shortest == longest else f"{shortest:g} to {longest:g} mm"
    long, short = body.sensor_mm
    base, highest = body.isos
    fastest, slowest = (shutter_name(seconds) for seconds in body.shutters_s)
    return (
        f"{body.description}: {focal} on {long:g} x {short:g} mm, {body.apertures}, "
        f"ISO {base:g} to {highest:g}, {slowest} to {fastest}"
    )
