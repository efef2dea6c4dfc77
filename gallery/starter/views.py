"""Three views of a subject that show which way it faces."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from materials.arrays import Vector
from render.camera.development import encode
from render.description.scene import Camera, Geometry, setup_geometry
from render.kernel.trace import Tracer
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.geometry import unit
from scenes.setups.place_setup import place_setup

VIEW_PX, MARGIN_PX = 360, 34
VIEWS: Final = (
    ("from the camera: the face should look at you", (0.0, -1.0, 0.0)),
    ("from camera right: the face should look left", (1.0, 0.0, 0.0)),
    ("from above: the face should look down the page", (0.0, -1e-4, 1.0)),
)
"""Captions, and the sides of the subject that the camera is on."""
DISTANCE_SIZES: Final = 6.0
"""Distance of the camera, in diameters of the bounding sphere."""


def draw_views(arrangement: ResolvedArrangement) -> Image.Image:
    """Return the subject from the camera, from camera right and from above, shaded by its shape alone."""
    placed = place_setup("butterfly", arrangement, 1.0)
    geometry = setup_geometry(placed, arrangement.finishes, VIEW_PX, VIEW_PX)
    surfaces = tuple(s for s in geometry.surfaces if s.kind == "subject")
    points = np.concatenate([s.vertices for s in surfaces]).astype(float)
    picture = Image.new("RGB", (VIEW_PX * len(VIEWS), VIEW_PX + MARGIN_PX), (250, 250, 248))
    draw = ImageDraw.Draw(picture)
    for i, (caption, side) in enumerate(VIEWS):
        camera = _camera_at(unit(side), points)
        features = Tracer(Geometry(surfaces, camera)).features
        picture.paste(Image.fromarray(_shaded(features.normal, features.subject, camera)), (i * VIEW_PX, 0))
        draw.text((i * VIEW_PX + 8, VIEW_PX + 8), caption, (28, 28, 28), ImageFont.load_default(14))
    return picture


def _camera_at(side: Vector, points: Vector) -> Camera:
    """Return a camera on a side of points, (n, 3), that frames their bounding sphere."""
    low, high = points.min(axis=0), points.max(axis=0)
    radius = float(np.linalg.norm(high - low)) / 2
    right = unit(np.cross(-side, [0.0, 0.0, 1.0]))
    axes = np.column_stack([right, np.cross(right, -side), -side])
    distance = DISTANCE_SIZES * 2 * radius
    return Camera((low + high) / 2 + side * distance, axes, math.tan(math.asin(radius / distance)), VIEW_PX, VIEW_PX)


def _shaded(normal: NDArray[np.float32], coverage: NDArray[np.float32], camera: Camera) -> NDArray[np.uint8]:
    """Return a grey picture, lit from the camera and above, of normals and the subject's coverage of each pixel."""
    cosine = np.abs(normal @ (-camera.axes[:, 2] + 0.5 * camera.axes[:, 1]).astype(np.float32)) / 1.12
    grey = 0.05 + 0.55 * cosine
    linear = grey * coverage + 0.85 * (1 - coverage)
    return np.repeat(encode(linear)[..., None], 3, axis=-1)
