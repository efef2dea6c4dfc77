"""Lamps as Mitsuba emitters of flat unit radiance: light only, so that rays pass through their bodies."""

from __future__ import annotations

from typing import Any

import numpy as np

from render.description import Lamp

from .backend import mitsuba


def lamp_dict(lamp: Lamp) -> dict[str, Any]:
    """Return a lamp as a dictionary."""
    radiance = {"type": "uniform", "value": 1.0}
    if lamp.kind == "room":
        return {"type": "constant", "radiance": radiance}
    shape: dict[str, Any] = {
        "bsdf": {"type": "null"},
        "emitter": {"type": "area", "radiance": radiance},
    }
    if lamp.kind == "bulb":
        return {"type": "sphere", "center": lamp.at.tolist(), "radius": lamp.half[0], **shape}
    matrix = np.eye(4)
    matrix[:3, :3] = lamp.axes * [lamp.half[0], lamp.half[1], 1.0]
    matrix[:3, 3] = lamp.at
    kind = "rectangle" if lamp.kind == "panel" else "disk"
    return {"type": kind, "to_world": mitsuba().ScalarTransform4f(matrix), **shape}
