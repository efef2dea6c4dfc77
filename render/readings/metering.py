"""Readings: numbers measured on a frame. Means are of undenoised light, thresholds of the denoised picture."""

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

METER_GAP_CM = 0.5  # between the hero's surface and the meter
CRUSHED_SHARE = 0.005  # of the subject's 95th percentile
EDGE_WIDTH_PX = 2
AREA_NODES = 12


@dataclass(frozen=True)
class Readings:
    """The numbers measured on a frame; None where there is nothing to measure."""

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
    """Return a meter in front of the hero's surface, facing the camera."""
    hero, camera = np.asarray(setup.hero_cm), np.asarray(setup.view.at_cm)
    to_camera = unit(camera - hero)
    gap = METER_GAP_CM
    if setup.subject is not None:
        offset = setup.subject.surface_points(20000) - hero
        along = offset @ to_camera
        across = np.linalg.norm(offset - along[:, None] * to_camera, axis=1)
        near = along[across < 0.04 * setup.subject.size_cm]
        gap += max(0.0, float(near.max())) if near.size else 0.0
    return meter_at(hero + gap * to_camera, to_camera)


def lux(irradiance: NDArray[np.float64], radiance: Spectrum) -> NDArray[np.float64]:
    """Return illuminance, lx (...), from the band irradiance (..., bands) that an emitter of flat unit spectrum causes.

    `radiance` (351,) is the spectrum of the emitter in its place, W/(m2 sr nm).
    """
    weights = band_weights(radiance, MAX_LUMINOUS_EFFICACY * COLOUR_MATCHING[1:2])[0]
    illuminance: NDArray[np.float64] = irradiance @ weights
    return illuminance


def unobstructed_lux(emitter: EmitterShape, meter: Meter, radiance: Spectrum) -> float:
    """Return the direct illuminance at a meter by an emitter, without any occlusion, in closed form, lx.

    A meter with an area averages over 12 x 12 Gauss-Legendre nodes. `radiance` is (351,) W/(m2 sr nm).
    """
    if emitter.kind == "room":
        return photometric_value(radiance) * emitter.etendue
    nodes, weights = np.polynomial.legendre.leggauss(AREA_NODES if any(meter.half) else 1)
    offsets = np.stack(np.meshgrid(nodes, nodes), axis=-1).reshape(-1, 2) * meter.half
    points = meter.at + offsets @ meter.axes[:, :2].T
    factors = direct_factor(emitter, points, np.broadcast_to(meter.axes[:, 2], points.shape))
    return photometric_value(radiance) * float(factors @ np.outer(weights, weights).ravel()) / 4


def room_stops(total_lux: float, room_lux: float) -> float | None:
    """Return the room's illuminance below the total, in stops; None for a dark room."""
    return stops(total_lux / room_lux) if room_lux > 0 else None


def solve_dimmer(wanted_stops_under_key: float, key_lux: float, full_lux: float) -> float:
    """Return the dimmer, at most 1, at which a lamp of `full_lux` undimmed is so many stops under `key_lux`."""
    return min(1.0, key_lux / ratio(wanted_stops_under_key) / full_lux) if full_lux > 0 else 1.0


def key_to_fill_stops(
    direct_lux: NDArray[np.float64], indirect_lux: NDArray[np.float64], has_cards: bool
) -> float | None:
    """Return log2 of total over fill illuminance. The key is the first emitter, the others are the fill.

    With cards and no second emitter the key's indirect illuminance is the fill. None with neither, or without any fill.
    """
    total = float(np.sum(direct_lux) + np.sum(indirect_lux))
    if len(direct_lux) > 1:
        fill = total - float(direct_lux[0] + indirect_lux[0])
    elif has_cards:
        fill = total - float(direct_lux[0])
    else:
        return None
    return stops(total / fill) if fill > 0 else None


def backdrop_stops(luminance: Image, subject: Mask, backdrop: Mask) -> float | None:
    """Return log2 of mean luminance, backdrop over subject; None where either mask is empty or black.

    `backdrop` should be the curve and the wall of the backdrop, without the table, and neither mask include lamps.
    """
    if not subject.any() or not backdrop.any():
        return None
    dark, bright = float(luminance[backdrop].mean()), float(luminance[subject].mean())
    return stops(dark / bright) if dark > 0 and bright > 0 else None


def clipped_percent(linear: Image, subject: Mask) -> float | None:
    """Return the percentage of the subject where a channel saturates, in denoised linear sRGB."""
    return 100.0 * float((linear[subject] >= 1.0).any(axis=-1).mean()) if subject.any() else None


def crushed_percent(luminance: Image, subject: Mask) -> float | None:
    """Return the percentage of the subject under 0.5 % of its 95th percentile, in denoised luminance."""
    if not subject.any():
        return None
    values = luminance[subject]
    return 100.0 * float((values < CRUSHED_SHARE * np.percentile(values, 95)).mean())


def edge_stops(luminance: Image, subject: Mask, backdrop: Mask) -> float | None:
    """Return the median absolute log2 step across the silhouette, in denoised luminance.

    Over pairs of pixels 2 apart, along rows and columns, one on the subject and one on the backdrop. Luminance is
    clipped from below at 0.1 % of the subject's 95th percentile.
    """
    if not subject.any():
        return None
    light = np.log2(np.maximum(luminance, 1e-3 * np.percentile(luminance[subject], 95) + 1e-12))
    steps = []
    for axis in (0, 1):
        second, first = _pixel_pairs(light, axis)
        on, off = _pixel_pairs(subject, axis), _pixel_pairs(backdrop, axis)
        across = (on[0] & off[1]) | (on[1] & off[0])
        steps.append(np.abs(second - first)[across])
    step = np.concatenate(steps)
    return float(np.median(step)) if step.size else None


def _pixel_pairs(image: NDArray[Any], axis: int) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return the later and the earlier pixel of all pairs `EDGE_WIDTH_PX` apart along an axis."""
    moved = np.moveaxis(image, axis, 0)
    return moved[EDGE_WIDTH_PX:], moved[:-EDGE_WIDTH_PX]
