"""Views of a model that show which way it faces, and of a long one both ends that may be its nose."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from materials.arrays import Vector
from render.camera.development import encode
from render.description.scene import Camera, Geometry, part_surface
from render.kernel.trace import Tracer
from scenes.geometry import direction_round, round_and_rise, unit
from scenes.subject.axes import AXES, axis_along
from scenes.subject.kind import SubjectKind, usual_faces_deg
from scenes.subject.nose import possible_fronts
from scenes.subject.subject import Subject

VIEW_PX, MARGIN_PX, LINE_PX = 360, 52, 18
INK, SOFT_INK = (28, 28, 28), (110, 110, 106)
RISE_DEG: Final = 20.0
"""Of the camera in the views of both ends."""
DISTANCE_SIZES: Final = 6.0
"""Distance of the camera, in diameters of the bounding sphere."""


class View(NamedTuple):
    """A caption, the side of the model that the camera is on, and what to say of a model that stands otherwise."""

    caption: str
    side: tuple[float, float, float] | Vector
    remedy: str = ""


VIEWS: Final = (
    View("from the camera: the face should look at you", (0.0, -1.0, 0.0)),
    View("from camera right: the face should look left", (1.0, 0.0, 0.0)),
    View("from above: the face should look down the page", (0.0, -1e-4, 1.0)),
)


def draw_views(model: Subject, kind: SubjectKind) -> Image.Image:
    """Return a model, its front to the camera, from three sides, shaded by its shape alone.

    Of a long kind whose nose may be at either end, a row below shows it three-quarter with each as the nose.
    """
    rows = [row for row in (side_views(model), end_views(model, kind)) if row]
    surfaces = tuple(part_surface(part) for part in model.parts)
    points = np.concatenate([s.vertices for s in surfaces]).astype(float)
    picture = Image.new("RGB", (VIEW_PX * len(VIEWS), (VIEW_PX + MARGIN_PX) * len(rows)), (250, 250, 248))
    draw = ImageDraw.Draw(picture)
    for i, row in enumerate(rows):
        for j, view in enumerate(row):
            x, y = j * VIEW_PX, i * (VIEW_PX + MARGIN_PX)
            camera = _camera_at(unit(view.side), points)
            features = Tracer(Geometry(surfaces, camera)).features
            picture.paste(Image.fromarray(_shaded(features.normal, features.subject, camera)), (x, y))
            for k, (line, ink) in enumerate(((view.caption, INK), (view.remedy, SOFT_INK))):
                draw.text((x + 8, y + VIEW_PX + 8 + k * LINE_PX), line, ink, ImageFont.load_default(14))
    return picture


def side_views(model: Subject) -> tuple[View, ...]:
    """Return the views from three sides, each with the option that puts a model right that stands otherwise."""
    rotation = model.from_file_axes
    if rotation is None:
        return VIEWS
    right, back, left = (axis_along(rotation, np.array(way)) for way in ((1, 0, 0), (0, 1, 0), (-1, 0, 0)))
    remedies = (
        f"if you see its back: --front {back}",
        f"if you see its face: --front {right}; its back: --front {left}",
        f"if it stands upright in this view: --up {back}",
    )
    return tuple(view._replace(remedy=remedy) for view, remedy in zip(VIEWS, remedies, strict=True))


def end_views(model: Subject, kind: SubjectKind) -> tuple[View, ...]:
    """Return the three-quarter views A and B of a model, each with one end as its nose and the option that says so."""
    fronts = possible_fronts(model, kind)
    if fronts is None or model.from_file_axes is None:
        return ()
    views = []
    for letter, front in zip("AB", fronts, strict=True):
        nose_deg, _ = round_and_rise(model.from_file_axes @ np.array(AXES[front]))
        side = direction_round(nose_deg - usual_faces_deg(kind), RISE_DEG)
        views.append(View(f"{letter}: if the nose is at the lower right: --front {front}", side))
    return tuple(views)


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
