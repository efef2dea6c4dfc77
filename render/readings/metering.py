"""Readings: numbers measured on a frame. Means come from undenoised light, thresholds from what is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image, Mask
from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY
from materials.light.spectra import Spectrum, photometric_value
from render.description.scene import Meter, meter_at
from render.images.bands import band_weights
from scenes.geometry import unit
from scenes.lamps.direct_light import direct_factor
from scenes.lamps.emitter_shape import EmitterShape
from scenes.setups.placed import PlacedSetup
from scenes.units import ratio, stops

METER_GAP_CM = 0.5  # before the hero's surface, as one holds a meter
CRUSHED_SHARE = 0.005  # of the subject's 95th percentile
EDGE_REACH_PX = 2
AREA_NODES = 12


@dataclass(frozen=True)
class Readings:
    """What is measured on a frame; None where there is nothing to measure."""

    subject_lux: float | None
    key_to_fill_stops: float | None
    backdrop_stops: float | None
    clipped_percent: float | None
    crushed_percent: float | None
    edge_stops: float | None
    room_stops: float | None
    highlight_percent: float | None
    highlight_peak_stops: float | None
    texture_contrast_stops: float | None


def hero_meter(setup: PlacedSetup) -> Meter:
    """Return the meter held before the hero, facing the camera."""
    hero, camera = np.asarray(setup.hero_cm), np.asarray(setup.view.at_cm)
    towards = unit(camera - hero)
    gap = METER_GAP_CM
    if setup.subject is not None:
        offset = setup.subject.surface_points(20000) - hero
        along = offset @ towards
        beside = np.linalg.norm(offset - along[:, None] * towards, axis=1)
        near = along[beside < 0.04 * setup.subject.size_cm]
        gap += max(0.0, float(near.max())) if near.size else 0.0
    return meter_at(hero + gap * towards, towards)


def lux(irradiance: NDArray[np.float64], radiance: Spectrum) -> NDArray[np.float64]:
    """Return illuminance from band irradiance (..., bands) of a flat lamp replaced by one of `radiance`."""
    weights = band_weights(radiance, MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING[1:2])[0]
    measured: NDArray[np.float64] = irradiance @ weights
    return measured


def clear_lux(emitter: EmitterShape, meter: Meter, radiance: Spectrum) -> float:
    """Return what a meter would read straight from a lamp of `radiance` with nothing in the way, in closed form.

    An area is averaged by Gauss-Legendre over 12 x 12 points. The room gives a meter its lux.
    """
    if emitter.kind == "room":
        return photometric_value(radiance) * emitter.etendue
    nodes, weights = np.polynomial.legendre.leggauss(AREA_NODES if any(meter.half) else 1)
    offsets = np.stack(np.meshgrid(nodes, nodes), axis=-1).reshape(-1, 2) * meter.half
    points = meter.at + offsets @ meter.axes[:, :2].T
    factors = direct_factor(emitter, points, np.broadcast_to(meter.axes[:, 2], points.shape))
    return photometric_value(radiance) * float(factors @ np.outer(weights, weights).ravel()) / 4


def room_stops(total_lux: float, room_lux: float) -> float | None:
    """Return how far the room's light alone is under all the light, in stops; None in the dark."""
    return stops(total_lux / room_lux) if room_lux > 0 else None


def solve_dimmer(wanted_stops_under_key: float, key_lux: float, full_lux: float) -> float:
    """Return the dimmer that puts a lamp so far under the key, at most 1."""
    return min(1.0, key_lux / ratio(wanted_stops_under_key) / full_lux) if full_lux > 0 else 1.0


def key_to_fill(direct_lux: NDArray[np.float64], bounced_lux: NDArray[np.float64], has_cards: bool) -> float | None:
    """Return log2 of all the light over all but the key's, in stops; the key is the first lamp.

    With cards and no second lamp, what the cards and the table send back of the key's light is the fill. None with
    neither, or where no fill arrives.
    """
    total = float(np.sum(direct_lux) + np.sum(bounced_lux))
    if len(direct_lux) > 1:
        fill = total - float(direct_lux[0] + bounced_lux[0])
    elif has_cards:
        fill = total - float(direct_lux[0])
    else:
        return None
    return stops(total / fill) if fill > 0 else None


def backdrop_stops(luminance: Image, subject: Mask, backdrop: Mask) -> float | None:
    """Return log2 of mean luminance, backdrop over subject.

    The backdrop is the curve and the wall of the sheet, the table left out. Lamps in frame belong to neither mask.
    """
    if not subject.any() or not backdrop.any():
        return None
    dark, bright = float(luminance[backdrop].mean()), float(luminance[subject].mean())
    return stops(dark / bright) if dark > 0 and bright > 0 else None


def clipped_percent(linear: Image, subject: Mask) -> float | None:
    """Return the share of the subject where a channel reaches saturation, on the frame as shown."""
    return 100.0 * float((linear[subject] >= 1.0).any(axis=-1).mean()) if subject.any() else None


def crushed_percent(luminance: Image, subject: Mask) -> float | None:
    """Return the share of the subject under 0.5 % of its 95th percentile, on the frame as shown."""
    if not subject.any():
        return None
    seen = luminance[subject]
    return 100.0 * float((seen < CRUSHED_SHARE * np.percentile(seen, 95)).mean())


def edge_stops(luminance: Image, subject: Mask, backdrop: Mask) -> float | None:
    """Return the median absolute log2 step across the silhouette, on the frame as shown.

    Pairs of pixels 2 apart, along rows and columns, one on the subject and one on the backdrop; light under
    0.1 % of the subject's 95th percentile counts as that.
    """
    if not subject.any():
        return None
    light = np.log2(np.maximum(luminance, 1e-3 * np.percentile(luminance[subject], 95) + 1e-12))
    steps = []
    for axis in (0, 1):
        ahead, behind = _apart(light, axis)
        on, off = _apart(subject, axis), _apart(backdrop, axis)
        across = (on[0] & off[1]) | (on[1] & off[0])
        steps.append(np.abs(ahead - behind)[across])
    step = np.concatenate(steps)
    return float(np.median(step)) if step.size else None


def _apart(image: NDArray[Any], axis: int) -> tuple[NDArray[Any], NDArray[Any]]:
    moved = np.moveaxis(image, axis, 0)
    return moved[EDGE_REACH_PX:], moved[:-EDGE_REACH_PX]
