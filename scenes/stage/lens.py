"""The lens that a view takes: focal length, magnification and crop, by the thin lens.

1/f = 1/u + 1/v: f is the focal length, u the distance from the lens to the subject, v that to its image. The
magnification is m = v/u = f/(u - f).
"""

from __future__ import annotations

from dataclasses import dataclass

from scenes.arrangement.arrangement import CameraModel

from .cameras import CameraBody
from .viewpoint import Viewpoint

MM_PER_CM = 10.0


@dataclass(frozen=True)
class LensSetting:
    """The focal length that a view is taken with.

    Parameters
    ----------
    focal_mm
        Within the body's range.
    magnification
        Size on the sensor over size at the subject.
    crop
        Side of the part of the sensor that becomes the frame, over the side of the whole; more than 1 where the lens's
        field is narrower than the view.
    """

    focal_mm: float
    magnification: float
    crop: float


def lens_setting(body: CameraBody, view: Viewpoint, distance_cm: float) -> LensSetting:
    """Return the lens setting for a view whose subject is so far from the lens."""
    u = MM_PER_CM * distance_cm
    filling = frame_height_mm(body, view.aspect) / (2 * view.tan_half_height * u)
    wanted = u * filling / (1 + filling)
    shortest, longest = body.focal_mm
    focal = min(max(wanted, shortest), longest)
    if focal == wanted or focal >= u:
        return LensSetting(focal, filling, 1.0)
    magnification = focal / (u - focal)
    return LensSetting(focal, magnification, magnification / filling)


def magnification_of(camera: CameraModel, view: Viewpoint, distance_cm: float) -> float:
    """Return a camera's magnification of a subject so far from its lens."""
    return lens_setting(camera.body, view, distance_cm).magnification


def frame_height_mm(body: CameraBody, aspect: float) -> float:
    """Return the height on the sensor of the largest frame of an aspect, width over height.

    The camera is turned upright for an upright frame.
    """
    long, short = body.sensor_mm
    longer = min(long, short * max(aspect, 1 / aspect))
    return longer if aspect < 1 else longer / aspect
