"""`spruelight meter`: illuminance at each meter, by lamp and in all, traced and in closed form."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.lit_emitter import LitEmitter, lit_emitters
from render.description.scene import meter_at, setup_geometry
from render.hero_light import hero_light
from render.images.tracing import Tracing
from render.readings.metering import lux, room_stops, unobstructed_lux
from render.shot import Shot
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError
from scenes.geometry import distance_to_board
from scenes.setups.place_setup import place_setup
from scenes.setups.placed import AS_PLACED, PlacedSetup

SAMPLES = 2**17
SHADED = 0.5
"""Of its clear direct light, with less than which a meter is said to be shaded."""
FRAME_PX = 4  # of a camera that plays no part in a meter's light


def meter_facts(arrangement: ResolvedArrangement, setup: str | None, tracing: Tracing) -> dict[str, Any]:
    """Return the readings, lux, of every meter of the arrangement under one setup, or under the lamps as placed.

    `lux` is traced and `direct_lux` its direct part; `clear_lux` is the direct part in closed form, with nothing in the
    way. Errors are standard errors of independent batches.

    Raises
    ------
    InputError
        Where there is no meter, or no lamp to measure.
    """
    declared = arrangement.declared
    if not declared.meters:
        raise InputError("the arrangement has no [[meters]]; add one with name, at_cm and facing")
    placed = place_setup(setup or AS_PLACED, arrangement)
    geometry = setup_geometry(placed, arrangement.finishes, FRAME_PX, FRAME_PX)
    shot = Shot(placed, "", geometry, declared.camera, arrangement.room)
    if any(lamp.stops_under_key is not None or lamp.sheet_over_white is not None for lamp in placed.lamps):
        placed = hero_light(shot, tracing).setup
    _require_outside(arrangement, placed)
    meters = tuple(meter_at(m.at_cm, m.facing, m.size_cm) for m in declared.meters)
    lights = lit_emitters(placed, arrangement.room)
    traced = tracing.small.irradiance(geometry, shot.emitter_shapes, meters, SAMPLES)
    measured = np.array([lux(read, light.dimmed_radiance) for read, light in zip(traced, lights, strict=True)])
    clear = [[unobstructed_lux(light.shape, meter, light.dimmed_radiance) for meter in meters] for light in lights]
    return {
        "setup": placed.name,
        "meters": [
            {"name": meter.name, **_reading(lights, measured[..., m], [lamp[m] for lamp in clear])}
            for m, meter in enumerate(declared.meters)
        ],
    }


def _require_outside(arrangement: ResolvedArrangement, placed: PlacedSetup) -> None:
    """Refuse a meter inside a bulb."""
    for meter in arrangement.declared.meters:
        for lamp in placed.lamps:
            middle = np.array([lamp.place.at_cm], dtype=float)
            away_cm = distance_to_board(middle, meter.at_cm, meter.facing, meter.size_cm or (0.0, 0.0))[0]
            if lamp.lamp.model.kind == "bulb" and away_cm <= lamp.lamp.extent_cm[0] / 2:
                raise InputError(f"meter '{meter.name}' lies inside the lamp '{lamp.name}'; move one of them")


def meter_lines(facts: dict[str, Any]) -> list[str]:
    """Return the readings as lines for a person."""
    lines = [f"{'meter':16} {'lux':>10} {'error':>8} {'direct':>10} {'clear':>10}   by lamp"]
    for meter in facts["meters"]:
        parts = ", ".join(f"{name} {value:.1f}" for name, value in meter["by_lamp"].items())
        room = meter["room_stops"]
        lines.append(
            f"{meter['name']:16} {meter['lux']:10.1f} {meter['lux_error']:8.2f} {meter['direct_lux']:10.1f} "
            f"{meter['clear_lux']:10.1f}   {parts}"
            + (f"; the room's light is {room:.1f} stops under all of it" if room is not None else "")
        )
    lines += [_shaded_words(meter) for meter in facts["meters"] if meter["direct_lux"] < SHADED * meter["clear_lux"]]
    lines.append("direct: straight from lamps, traced; clear: the same in closed form, with nothing in the way")
    return lines


def _shaded_words(meter: dict[str, Any]) -> str:
    """Return what to say of a meter that lamps hardly reach."""
    share = 100 * meter["direct_lux"] / meter["clear_lux"]
    return (
        f"{meter['name']}: {share:.0f} % of the lamps' direct light gets there: it lies in the model or in a shadow; "
        "move it, or meter without [subject], as with the model lifted away"
    )


def _reading(lights: Sequence[LitEmitter], measured: NDArray[np.float64], clear: list[float]) -> dict[str, Any]:
    """Return one meter's reading from (emitters, batches, 2) traced lux, direct and indirect, and each closed form."""
    by_lamp = measured.sum(axis=2)
    total, direct = by_lamp.sum(axis=0), measured[:, :, 0].sum(axis=0)
    room = sum(float(read.mean()) for light, read in zip(lights, by_lamp, strict=True) if light.lamp is None)
    return {
        "lux": float(total.mean()),
        "lux_error": _standard_error(total),
        "direct_lux": float(direct.mean()),
        "direct_lux_error": _standard_error(direct),
        "clear_lux": float(sum(clear)),
        "room_stops": room_stops(float(total.mean()), room),
        "by_lamp": {light.name: float(read.mean()) for light, read in zip(lights, by_lamp, strict=True)},
        "by_lamp_error": {light.name: _standard_error(read) for light, read in zip(lights, by_lamp, strict=True)},
        "by_lamp_clear": {light.name: value for light, value in zip(lights, clear, strict=True)},
    }


def _standard_error(batches: NDArray[np.float64]) -> float:
    return float(batches.std(ddof=1) / np.sqrt(len(batches)))
