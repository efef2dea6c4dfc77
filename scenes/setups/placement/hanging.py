"""Whether the stand of a lamp would be in the picture, so that it hangs from an arm."""

from __future__ import annotations

from typing import Final

import numpy as np

from scenes.setups.place import Place, Stage

from .constraints import LENS_GAP_CM

POLE_POINTS: Final = 65


def hangs(place: Place, stage: Stage) -> bool:
    """Return whether the upright line from a lamp to the table is seen, or meets the camera or the model."""
    x, y, z = place.at_cm
    pole = np.column_stack([np.full(POLE_POINTS, x), np.full(POLE_POINTS, y), np.linspace(0.0, z, POLE_POINTS)])
    across, up, depth = stage.view.project(pole).T
    in_frame = (np.abs(across) < 1) & (np.abs(up) < 1) & (depth > 0)
    return _over_camera(place, stage) or _over_model(place, stage) or not stage.occluder.hides(pole[in_frame])


def _over_camera(place: Place, stage: Stage) -> bool:
    away = np.subtract(place.at_cm, stage.view.at_cm)
    return bool(np.hypot(*away[:2]) < LENS_GAP_CM and away[2] > 0)


def _over_model(place: Place, stage: Stage) -> bool:
    low, high = stage.subject.bounds_cm
    return bool(((low[:2] < place.at_cm[:2]) & (place.at_cm[:2] < high[:2])).all() and place.at_cm[2] > low[2])
