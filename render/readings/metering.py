"""Readings: numbers measured on a frame. Means are of undenoised light, thresholds of the denoised picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Image, Mask
from materials.light.observer import COLOUR_MATCHING, MAX_LUMINOUS_EFFICACY
from materials.light.spectra import Spectrum, photometric_value
from render.description.scene import Meter
from render.images.bands import band_weights
from scenes.lamps.direct_light import direct_factor
from scenes.lamps.emitter_shape import EmitterShape
from scenes.units import stops

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
    backdrop_clipped_percent: float | None
    crushed_percent: float | None
    edge_stops: float | None
    room_stops: float | None
    shine_lightness: float | None
    highlight_percent: float | None
    texture_contrast_stops: float | None


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


def key_to_fill_stops(by_emitter: NDArray[np.float64], key: int | None, has_cards: bool) -> float | None:
    """Return log2 of all the illuminance over all but the key's, on a receptor facing the camera.

    With cards and no second emitter the key's indirect illuminance is the fill. None with neither, without a key, and
    where one of the two is dark.

    Parameters
    ----------
    by_emitter : (emitters, 2)
        Illuminance by each, direct and indirect, as dimmed; the model is lifted away.
    key
        The number of the emitter that is the key; None without any light.
    """
    if key is None or (len(by_emitter) == 1 and not has_cards):
        return None
    total = float(by_emitter.sum())
    own = float(by_emitter[key].sum() if len(by_emitter) > 1 else by_emitter[key, 0])
    return stops(total / (total - own)) if total > own else None


def backdrop_stops(luminance: Image, subject: Mask, backdrop: Mask) -> float | None:
    """Return log2 of mean luminance, backdrop over subject; None where either mask is empty or black.

    `backdrop` should be the curve and the wall of the backdrop, without the table, and neither mask include lamps.
    """
    if not subject.any() or not backdrop.any():
        return None
    dark, bright = float(luminance[backdrop].mean()), float(luminance[subject].mean())
    return stops(dark / bright) if dark > 0 and bright > 0 else None


def clipped_percent(linear: Image, region: Mask) -> float | None:
    """Return the percentage of the subject or the backdrop where a channel reaches white, in denoised linear sRGB."""
    red, green, blue = np.moveaxis(linear >= 1.0, -1, 0)
    return 100.0 * float((red | green | blue)[region].mean()) if region.any() else None


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
