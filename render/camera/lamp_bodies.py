"""Lamp bodies in the frame: light passes through them when traced, so the frame masks what they hide."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Mask
from render.description.scene import Camera
from scenes.lamps.emitter_shape import EmitterShape, relative_intensity


def camera_rays(camera: Camera) -> NDArray[np.float64]:
    """Return (height, width, 3) unit directions through the pixel centres."""
    aspect = camera.width / camera.height
    x = ((np.arange(camera.width) + 0.5) / camera.width * 2 - 1) * camera.tan_half_height * aspect
    y = (1 - (np.arange(camera.height) + 0.5) / camera.height * 2) * camera.tan_half_height
    local = np.stack([*np.meshgrid(x, y), np.ones((camera.height, camera.width))], axis=-1)
    directions = local @ camera.axes.T
    return np.asarray(directions / np.linalg.norm(directions, axis=-1, keepdims=True))


def body_in_sight(lamp: EmitterShape, camera: Camera, depth: NDArray[np.float32]) -> tuple[Mask, NDArray[np.float64]]:
    """Return (height, width) of where a lamp's body is seen, and the radiance of its lit face there, 0 elsewhere.

    The radiance is relative to that of an even lamp. `depth` is the distance of what stands there otherwise, m.
    """
    rays = camera_rays(camera)
    distance, lit = _hit_bulb(lamp, camera, rays) if lamp.kind == "bulb" else _hit_face(lamp, camera, rays)
    seen = distance < depth
    return seen, np.where(seen & lit, _radiance(lamp, -rays @ lamp.axes), 0.0)


def _radiance(lamp: EmitterShape, leaving: NDArray[np.float64]) -> NDArray[np.float64]:
    if lamp.intensity is None:
        return np.ones(leaving.shape[:2])
    relative = relative_intensity(lamp.intensity, leaving)
    return relative if lamp.kind == "bulb" else relative / np.maximum(leaving[..., 2], 1e-6)


def _hit_face(lamp: EmitterShape, camera: Camera, rays: NDArray[np.float64]) -> tuple[NDArray[np.float64], Mask]:
    origin = (camera.at - lamp.at) @ lamp.axes
    towards = rays @ lamp.axes
    with np.errstate(divide="ignore", invalid="ignore"):
        distance = -origin[2] / towards[..., 2]
        at = origin[:2] + distance[..., None] * towards[..., :2]
        across = np.hypot(at[..., 0], at[..., 1])
        if lamp.kind == "panel":
            inside = (np.abs(at) <= lamp.half).all(axis=-1)
        else:
            inside = (across <= lamp.half[0]) & (across >= (lamp.half[1] if lamp.kind == "ring" else 0.0))
    hit = inside & (distance > 0)
    return np.where(hit, distance, np.inf), hit & (towards[..., 2] < 0)


def _hit_bulb(lamp: EmitterShape, camera: Camera, rays: NDArray[np.float64]) -> tuple[NDArray[np.float64], Mask]:
    to_centre = lamp.at - camera.at
    along = rays @ to_centre
    reach = lamp.half[0] ** 2 - (to_centre @ to_centre - along**2)
    hit = (reach >= 0) & (along > 0)
    return np.where(hit, along - np.sqrt(np.maximum(reach, 0.0)), np.inf), hit
