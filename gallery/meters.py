"""The `meter` command: lux at each meter, by lamp and in all, with the standard error."""

from __future__ import annotations

from typing import Any

import numpy as np

from render.description import describe, describe_meter
from render.frames import Shot, full_radiance
from render.metering import lux
from render.tracing import Tracing
from scenes.errors import InputError
from scenes.placing import AS_PLACED

from .inputs import Opened

SAMPLES = 2**17
TINY_PX = 4  # the camera plays no part in a meter's light


def meter_facts(opened: Opened, setup: str | None, tracing: Tracing) -> dict[str, Any]:
    """Return what every meter of the arrangement reads under one setup, or the lamps as placed.

    Raises
    ------
    InputError
        Where there is no meter, or no lamp to measure.
    """
    arrangement = opened.arrangement
    if not arrangement.meters:
        raise InputError("the arrangement has no [[meters]]; add one with name, at_cm and facing")
    placed = opened.place(setup or AS_PLACED)
    geometry = describe(placed, arrangement.subject, TINY_PX, TINY_PX)
    shot = Shot(placed, "", geometry, arrangement.camera, arrangement.room)
    meters = tuple(describe_meter(m.at_cm, m.facing, m.size_cm) for m in arrangement.meters)
    names = [lamp.name for lamp in placed.lamps] + ["room"]
    dimmers = [lamp.dimmer for lamp in placed.lamps] + [1.0]
    light = tracing.irradiance(geometry, shot.lamps, meters, SAMPLES).sum(axis=2)
    by_lamp = {names[i]: lux(lamp, full_radiance(shot, i) * dimmers[i]) for i, lamp in enumerate(light)}
    batches = np.sum(list(by_lamp.values()), axis=0)
    error = batches.std(axis=0, ddof=1) / np.sqrt(len(batches))
    return {
        "setup": placed.name,
        "meters": [
            {
                "name": declared.name,
                "lux": float(batches[:, m].mean()),
                "lux_error": float(error[m]),
                "by_lamp": {name: float(values[:, m].mean()) for name, values in by_lamp.items()},
            }
            for m, declared in enumerate(arrangement.meters)
        ],
    }


def meter_lines(facts: dict[str, Any]) -> list[str]:
    """Return the readings as lines for a person."""
    lines = [f"{'meter':16} {'lux':>10} {'error':>8}   by lamp"]
    for meter in facts["meters"]:
        parts = ", ".join(f"{name} {value:.1f}" for name, value in meter["by_lamp"].items())
        lines.append(f"{meter['name']:16} {meter['lux']:10.1f} {meter['lux_error']:8.2f}   {parts}")
    return lines
