"""The few orientations to choose from: the likely ones, the likeliest first, and the one in use among them."""

from __future__ import annotations

from typing import Final

import numpy as np

from scenes.subject.axes import AXES

from .ranking import Orientation

MOST: Final = 6


def orientation_choices(ranked: tuple[Orientation, ...], current: tuple[str, str]) -> tuple[Orientation, ...]:
    """Return at most six of the orientations, from (up, front) in use and the six sides ranked.

    The likeliest side up with its face to either end; the one in use, and its other end, which cannot be told from it;
    the second side; the likeliest with its face to either flank; the third.
    """
    if not ranked:
        return ()
    first, second, third = ranked[:3]
    flank = first._replace(front=_flank(first))
    now = next(orientation for orientation in ranked if orientation.up == current[0])._replace(front=current[1])
    wanted = [first, first.facing_back(), now, now.facing_back(), second, flank, flank.facing_back(), third]
    distinct = {(choice.up, choice.front): choice for choice in wanted}
    return tuple(distinct.values())[:MOST]


def _flank(orientation: Orientation) -> str:
    """Return the axis to the right of one who faces as the orientation does."""
    right = np.cross(AXES[orientation.front], AXES[orientation.up])
    return next(name for name, axis in AXES.items() if np.allclose(axis, right))
