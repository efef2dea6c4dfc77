"""The lens that a view takes: focal length, magnification and crop, by the thin lens.

1/f = 1/u + 1/v: f is the focal length, u the distance from the lens to the subject, v that to its image. The
magnification is m = v/u = f/(u - f).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from scenes.arrangement.arrangement import CameraModel

from .cameras import CameraBody
from .viewpoint import Viewpoint

MM_PER_CM: Final = 10.0
WORTH_A_WORD: Final = 0.02
"""Relative difference between the view and the lens's field from which it is named."""


@dataclass(frozen=True)
class LensSetting:
    """A body's lens, set for a view.

    Parameters
    ----------
    wanted_mm
        The focal length that takes the view with the whole sensor.
    focal_mm
        The nearest to it that the lens has.
    magnification
        Size on the sensor over size at the subject.
    crop
        Side of the part of the sensor that becomes the frame, over the side of the whole.
    """

    wanted_mm: float
    focal_mm: float
    magnification: float
    crop: float = 1.0


def lens_setting(body: CameraBody, view: Viewpoint, distance_cm: float) -> LensSetting:
    """Return the setting of a body's lens for a view whose subject is so far from the lens.

    Where the lens is too long for the view, magnification and crop are those of a lens that is not.
    """
    distance = MM_PER_CM * distance_cm
    filling = frame_height_mm(body, view.aspect) / (2 * view.tan_half_height * distance)
    wanted = distance * filling / (1 + filling)
    shortest, longest = body.focal_mm
    if wanted <= longest:
        return LensSetting(wanted, max(wanted, shortest), filling)
    magnification = longest / (distance - longest)
    return LensSetting(wanted, longest, magnification, magnification / filling)


def frame_height_mm(body: CameraBody, aspect: float) -> float:
    """Return the height on the sensor of the largest frame of an aspect, width over height.

    The camera is turned upright for an upright frame.
    """
    long, short = body.sensor_mm
    longer = min(long, short * max(aspect, 1 / aspect))
    return longer if aspect < 1 else longer / aspect


def magnification_of(camera: CameraModel, view: Viewpoint, distance_cm: float) -> float:
    """Return a camera's magnification of a subject so far from its lens."""
    return lens_setting(camera.body, view, distance_cm).magnification


def lens_words(camera: CameraModel, view: Viewpoint, distance_cm: float) -> str:
    """Return which lens and zoom take a view: `main lens, zoomed 1.8 times`, `62 mm`, `105 mm, cropped to 80 %`.

    The percentage is of the frame's sides.
    """
    body = camera.body
    setting = lens_setting(body, view, distance_cm)
    name = body.lens or f"{setting.focal_mm:.0f} mm"
    if (too_long := setting.focal_mm / setting.wanted_mm) > 1 + WORTH_A_WORD:
        return f"{name}, {too_long:.2g} times too long for this view: move the camera back"
    if setting.crop > 1 - WORTH_A_WORD:
        return name
    crop = f"zoomed {1 / setting.crop:.1f} times" if body.lens else f"cropped to {100 * setting.crop:.0f} %"
    return f"{name}, {crop}"
