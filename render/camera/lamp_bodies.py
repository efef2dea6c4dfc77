"""Lamp bodies in the frame: traced light passes through them, so they are composited into the frame afterwards."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask
from render.description.lit_emitter import LitEmitter
from render.description.scene import Camera
from scenes.lamps.emitter_shape import EmitterShape, relative_intensity

from .window import WHOLE, Window

NEAREST_M: Final = 1e-6
"""Before the lens, from where a point appears somewhere in the frame."""


class VisibleBody(NamedTuple):
    """The body of a lamp in a frame: the lamp's number, its pixels, and what its lit face sends from them.

    Both are (height, width); `relative` is as `visible_body` returns it.
    """

    lamp: int
    pixels: Mask
    relative: NDArray[np.float64]


def camera_rays(camera: Camera, window: Window = WHOLE) -> NDArray[np.float64]:
    """Return the unit directions through the pixel centres of a frame or a window of it, (height, width, 3)."""
    rows, columns = np.arange(camera.height)[window[0]] + 0.5, np.arange(camera.width)[window[1]] + 0.5
    x = (columns / camera.width * 2 - 1) * camera.tan_half_height * camera.width / camera.height
    y = ((1 - rows / camera.height * 2) * camera.tan_half_height)[:, None]
    right, up, forward = camera.axes.T
    directions = x[:, None] * right + (y[..., None] * up + forward)
    return np.asarray(directions / np.sqrt(x**2 + y**2 + 1)[..., None])


def visible_bodies(emitters: Sequence[LitEmitter], camera: Camera, depth: NDArray[np.float32]) -> list[VisibleBody]:
    """Return the body of each emitter that is a lamp, the farthest first: put into a picture, each hides those before.

    `depth` (height, width) is the distance of the scene without the lamps, m.
    """
    lamps = [(i, emitter.shape) for i, emitter in enumerate(emitters) if emitter.lamp is not None]
    lamps.sort(key=lambda lamp: -float(np.linalg.norm(lamp[1].at - camera.at)))
    return [VisibleBody(i, *visible_body(shape, camera, depth)) for i, shape in lamps]


def visible_body(lamp: EmitterShape, camera: Camera, depth: NDArray[np.float32]) -> tuple[Mask, NDArray[np.float64]]:
    """Return the pixels where a lamp's body is visible, and the relative radiance of its lit face there, 0 elsewhere.

    Both are (height, width). The radiance is relative to that of a Lambertian opening or an even bulb. `depth`
    (height, width) is the distance of the scene without the lamp, m.
    """
    visible, radiance = np.zeros(depth.shape, bool), np.zeros(depth.shape)
    window = _window_about(lamp, camera)
    rays = camera_rays(camera, window)
    distance, lit = _hit_bulb(lamp, camera, rays) if lamp.kind == "bulb" else _hit_opening(lamp, camera, rays)
    visible[window] = distance < depth[window]
    radiance[window] = np.where(visible[window] & lit, _relative_radiance(lamp, -rays @ lamp.axes), 0.0)
    return visible, radiance


def _window_about(lamp: EmitterShape, camera: Camera) -> Window:
    """Return the rows and columns of a frame that a lamp's body can be in; all of them beside the lens."""
    across, along = lamp.half if lamp.kind == "panel" else (lamp.half[0], lamp.half[0])
    half = (across, along, across if lamp.kind == "bulb" else 0.0)
    corners = lamp.at + (np.array(list(product((-1, 1), repeat=3))) * half) @ lamp.axes.T
    right, up, forward = ((corners - camera.at) @ camera.axes).T
    if (forward <= 0).all():
        return slice(0, 0), slice(0, 0)
    if (forward <= NEAREST_M).any():
        return WHOLE
    scale = camera.height / 2 / (camera.tan_half_height * forward)
    return _between(camera.height / 2 - up * scale), _between(camera.width / 2 + right * scale)


def _between(places: NDArray[np.float64]) -> slice:
    """Return the pixels from the lowest to the highest of some places along a side of the frame."""
    low, high = np.floor(np.clip((places.min(), places.max()), -1.0, 1e6)).astype(int).tolist()
    return slice(max(0, low), max(0, high + 1))


def _relative_radiance(lamp: EmitterShape, leaving: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the relative radiance in directions (..., 3) along the lamp's axes."""
    if lamp.intensity is None:
        return np.ones(leaving.shape[:2])
    relative = relative_intensity(lamp.intensity, leaving)
    return relative if lamp.kind == "bulb" else relative / np.maximum(leaving[..., 2], 1e-6)


def _hit_opening(lamp: EmitterShape, camera: Camera, rays: NDArray[np.float64]) -> tuple[NDArray[np.float64], Mask]:
    """Return the distance of a flat opening along rays, infinite where they miss it, and which hit its lit side."""
    origin = (camera.at - lamp.at) @ lamp.axes
    direction = rays @ lamp.axes
    with np.errstate(divide="ignore", invalid="ignore"):
        distance = -origin[2] / direction[..., 2]
        at = origin[:2] + distance[..., None] * direction[..., :2]
        radius = np.hypot(at[..., 0], at[..., 1])
        if lamp.kind == "panel":
            inside = (np.abs(at) <= lamp.half).all(axis=-1)
        else:
            inside = (radius <= lamp.half[0]) & (radius >= (lamp.half[1] if lamp.kind == "ring" else 0.0))
    hit = inside & (distance > 0)
    return np.where(hit, distance, np.inf), hit & (direction[..., 2] < 0)


def _hit_bulb(lamp: EmitterShape, camera: Camera, rays: NDArray[np.float64]) -> tuple[NDArray[np.float64], Mask]:
    """Return the distance of a bulb along rays, infinite where they miss it, and which hit it."""
    to_centre = lamp.at - camera.at
    along = rays @ to_centre
    half_chord_squared = lamp.half[0] ** 2 - (to_centre @ to_centre - along**2)
    hit = (half_chord_squared >= 0) & (along > 0)
    return np.where(hit, along - np.sqrt(np.maximum(half_chord_squared, 0.0)), np.inf), hit
