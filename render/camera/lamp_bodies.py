"""Lamp bodies in the frame: traced light passes through them, so they are composited into the frame afterwards."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask
from render.description.lit_emitter import LitEmitter
from render.description.scene import Camera
from scenes.lamps.emitter_shape import EmitterShape, relative_intensity


class VisibleBody(NamedTuple):
    """The body of a lamp in a frame: the lamp's number, its pixels, and what its lit face sends from them.

    Both are (height, width); `relative` is as `visible_body` returns it.
    """

    lamp: int
    pixels: Mask
    relative: NDArray[np.float64]


def camera_rays(camera: Camera) -> NDArray[np.float64]:
    """Return the unit directions through the pixel centres, (height, width, 3)."""
    aspect = camera.width / camera.height
    x = ((np.arange(camera.width) + 0.5) / camera.width * 2 - 1) * camera.tan_half_height * aspect
    y = (1 - (np.arange(camera.height) + 0.5) / camera.height * 2) * camera.tan_half_height
    local = np.stack([*np.meshgrid(x, y), np.ones((camera.height, camera.width))], axis=-1)
    directions = local @ camera.axes.T
    return np.asarray(directions / np.linalg.norm(directions, axis=-1, keepdims=True))


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
    rays = camera_rays(camera)
    distance, lit = _hit_bulb(lamp, camera, rays) if lamp.kind == "bulb" else _hit_opening(lamp, camera, rays)
    visible = distance < depth
    return visible, np.where(visible & lit, _relative_radiance(lamp, -rays @ lamp.axes), 0.0)


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
