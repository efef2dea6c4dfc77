"""The camera's position, aim and field of view: a pinhole that fits the subject in the frame."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from materials.arrays import Vector
from scenes.arrangement.arrangement import CameraModel
from scenes.errors import ArrangementError
from scenes.geometry import turned, unit
from scenes.lengths import distance_words, distance_words_up
from scenes.subject.kind import UPRIGHT, SubjectKind
from scenes.subject.subject import Subject

from .cameras import frame_aspect

DISTANCE_SIZES = 3.9  # a 26 mm-equivalent phone lens cropped to a model; 70 cm for an 18 cm figure
LEAST_DISTANCE_CM = 15.0  # nearer, many lenses do not focus; common practice, no source
CAMERA_GAP_CM = 1.0  # the least distance in depth between the camera and the subject
CLOSE_FILL = 0.85  # of the frame, that a part takes in a close-up
OUTLINE_POINTS = 4000  # of the subject's surface, that the frame is fitted to
AIRCRAFT_RISE_DEG = 25.0  # wings seen edge-on are lines (common practice, no source)


@dataclass(frozen=True)
class Viewpoint:
    """A pinhole camera in the table frame, level, cm."""

    at_cm: tuple[float, float, float]
    aim_cm: tuple[float, float, float]
    tan_half_height: float
    aspect: float

    @property
    def axes(self) -> Vector:
        """Unit vectors in columns (3, 3): right, up, forward."""
        forward = unit(np.subtract(self.aim_cm, self.at_cm))
        right = unit(np.cross(forward, [0.0, 0.0, 1.0]))
        axes: Vector = np.column_stack([right, np.cross(right, forward), forward])
        return axes

    def project(self, points_cm: Vector) -> Vector:
        """Return (n, 3): x and y, -1 to 1 inside the frame, y up, and the depth in cm."""
        local = (np.asarray(points_cm, dtype=float) - self.at_cm) @ self.axes
        depth = local[:, 2]
        ahead = np.where(depth > 1e-6, depth, np.nan)
        x = local[:, 0] / ahead / (self.tan_half_height * self.aspect)
        return np.column_stack([x, local[:, 1] / ahead / self.tan_half_height, depth])

    def rays(self, x: Vector, y: Vector) -> Vector:
        """Return the (n, 3) unit directions through frame positions: the inverse of `project`."""
        tan = self.tan_half_height
        local = np.column_stack([np.ravel(x) * tan * self.aspect, np.ravel(y) * tan, np.ones(np.size(x))])
        directions = local @ self.axes.T
        directions /= np.linalg.norm(directions, axis=1, keepdims=True)
        return np.asarray(directions)


def natural_height_cm(subject: Subject, kind: SubjectKind, distance_cm: float) -> float:
    """Return a camera height in cm at a distance from the centre mark.

    Just below the top of an upright subject; looking down on a flat one, and most on an aircraft.
    """
    uprightness = subject.height_cm / subject.size_cm
    rise_deg = AIRCRAFT_RISE_DEG if kind == "aircraft" else 8.0 + 14.0 * (1.0 - uprightness / UPRIGHT)
    if kind != "aircraft" and uprightness >= UPRIGHT:
        return 0.83 * subject.height_cm
    return 0.5 * subject.height_cm + distance_cm * math.tan(math.radians(rise_deg))


def look_at(
    model: Subject, camera: CameraModel, aspect: float | None = None, *,
    kind: SubjectKind = "object", facings_deg: Iterable[float] = (0.0,),
) -> Viewpoint:  # fmt: skip
    """Return the viewpoint from which a model takes `camera.fill_frame` of the frame, whichever of ways it faces.

    The frame is fitted to the union of the model's outlines as it is turned to each of `facings_deg`. Without an
    `aspect` (width over height) it has the camera's, upright or lying as that union is.

    Raises
    ------
    ArrangementError
        Where the camera stands inside the model or against it.
    """
    outline = np.concatenate([model.surface_points(OUTLINE_POINTS), model.tips_cm])
    points = np.concatenate([turned(outline, degrees) for degrees in facings_deg])
    distance = camera.distance_cm or max(LEAST_DISTANCE_CM, DISTANCE_SIZES * model.size_cm)
    height = camera.height_cm if camera.height_cm is not None else natural_height_cm(model, kind, distance)
    view = _fitted((0.0, -distance, height), points, camera.fill_frame, aspect, frame_aspect(camera))
    _refuse_camera_inside(view, points)
    return view


def look_closer(view: Viewpoint, points_cm: Vector, aspect: float | None = None) -> Viewpoint:
    """Return the viewpoint from the same position with a longer lens, points (n, 3) filling most of the frame.

    Without an `aspect` the frame has the same shape, upright or lying as the points are.
    """
    return _fitted(view.at_cm, points_cm, CLOSE_FILL, aspect, max(view.aspect, 1 / view.aspect))


def _refuse_camera_inside(view: Viewpoint, points: Vector) -> None:
    distance_cm, nearest_cm = -view.at_cm[1], float(view.project(points)[:, 2].min())
    if nearest_cm < CAMERA_GAP_CM:
        least_cm = distance_cm + CAMERA_GAP_CM - nearest_cm
        raise ArrangementError(
            f"camera.distance_cm: the camera stands {distance_words(distance_cm)} from the centre mark, inside the "
            f"subject or against it; it would have to be {distance_words_up(least_cm)} or more"
        )


def _fitted(
    at: tuple[float, float, float], points: Vector, fill: float, aspect: float | None, long_over_short: float
) -> Viewpoint:
    """Return the viewpoint that frames points: in an aspect ratio, or else upright or lying as they are."""
    aim = points.min(axis=0) / 2 + points.max(axis=0) / 2
    distance = float(np.linalg.norm(aim - at))
    view = Viewpoint(at, (float(aim[0]), float(aim[1]), float(aim[2])), 1.0, 1.0)
    for _ in range(4):  # the centre of the projections is not the projection of the centre
        seen = view.project(points)[:, :2]
        middle = (np.nanmin(seen, axis=0) + np.nanmax(seen, axis=0)) / 2
        aim = np.asarray(at) + view.rays(middle[:1], middle[1:])[0] * distance
        view = Viewpoint(at, (float(aim[0]), float(aim[1]), float(aim[2])), 1.0, 1.0)
    half_width, half_height = np.nanmax(np.abs(view.project(points)[:, :2]), axis=0)
    aspect = aspect or (long_over_short if half_width > half_height else 1 / long_over_short)
    tan = max(half_height, half_width / aspect) / fill
    return Viewpoint(view.at_cm, view.aim_cm, float(tan), aspect)


def look_over_table(camera: CameraModel, aspect: float | None = None) -> Viewpoint:
    """Return a viewpoint on an empty table."""
    distance = camera.distance_cm or 70.0
    height = camera.height_cm if camera.height_cm is not None else 15.0
    return Viewpoint((0.0, -distance, height), (0.0, 0.0, 8.0), 0.18, aspect or frame_aspect(camera))
