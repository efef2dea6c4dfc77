"""Intensities measured in half-planes about the vertical (C-planes), made a distribution about the way a lamp faces.

The lamp is measured facing straight down, where the angle in a plane is 0. Planes count anticlockwise seen from above
(LM-63-2002, 3.0; CIE 121 (memory)). The axes of a lamp (`geometry.axes_facing`) go round the way it faces, here down,
the other way, so C-plane angle c is the turn 360 - c; that of 0 stays 0.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np

from materials.arrays import Array
from scenes.errors import InputError
from scenes.lamps.distribution import Distribution

_NEAR_DEG: Final = 0.01  # ends are taken as the round angle that they are this near
_BELOW_DEG: Final = 0.001  # how far under its first angle light that starts there is gone
_SEAM: Final = 0.01  # how far, as a part of the peak, the planes of 0 and 360 may differ without a word


def distribution_of_planes(vertical_deg: Array, plane_deg: Array, candela: Array) -> tuple[Distribution, list[str]]:
    """Return the distribution, cd, of intensities in planes, and notes.

    vertical_deg
        (n,) rising from 0, straight down, or from 90. After the last there is no light.
    plane_deg
        (m,) rising: 0 alone for a body of revolution; 0 to 90 where each quarter mirrors the next; 0 to 180, 90 to 270
        or 270 to 450 where the halves mirror each other; or a whole turn from 0, the last plane or its like left out.
    candela
        (m, n) at least 0.

    Raises
    ------
    InputError
        Where the angles are none of that, or there is no light.
    """
    _check_rising("vertical", vertical_deg)
    _check_rising("horizontal", plane_deg)
    vertical_deg, candela, notes = _from_straight_down(_with_round_ends(vertical_deg), candela)
    if len(plane_deg) == 1 and plane_deg[0] == 0:
        turn, intensity = plane_deg, candela.T
    else:
        planes, candela, seam = _whole_turn(_with_round_ends(plane_deg), candela)
        notes += seam
        turn, intensity = 360.0 - planes[::-1], candela[::-1].T
    try:
        return Distribution(vertical_deg, turn, intensity), notes
    except ValueError as error:
        raise InputError(f"its light cannot be used: {error}") from None


def _check_rising(which: str, angles: Array) -> None:
    for before, after in pairwise(angles):
        if after <= before:
            raise InputError(f"its {which} angles should rise, and {after:g} comes after {before:g}")


def _with_round_ends(angles: Array) -> Array:
    """Return the angles with ends that lie near whole quarters of a turn put there."""
    ends = angles[[0, -1]]
    quarters = np.round(ends / 90) * 90
    angles = angles.copy()
    angles[[0, -1]] = np.where(np.abs(ends - quarters) <= _NEAR_DEG, quarters, ends)
    return angles


def _from_straight_down(vertical_deg: Array, candela: Array) -> tuple[Array, Array, list[str]]:
    first, last = vertical_deg[0], vertical_deg[-1]
    if first not in (0, 90) or last > 180 or len(vertical_deg) < 2:
        raise InputError(
            f"its vertical angles run from {first:g} to {last:g}, should run from 0 to 90, 0 to 180 or 90 to 180"
        )
    notes = []
    if last not in (90, 180):
        notes.append(f"its vertical angles end at {last:g} degrees; beyond it is taken as dark")
    if first == 90:
        vertical_deg = np.concatenate([[0, 90 - _BELOW_DEG], vertical_deg])
        candela = np.pad(candela, ((0, 0), (2, 0)))
    return vertical_deg, candela, notes


def _whole_turn(planes: Array, candela: Array) -> tuple[Array, Array, list[str]]:
    """Return planes from 0 to 360, the first and the last equal."""
    first, span = planes[0], planes[-1] - planes[0]
    if first == 0 and span == 90:
        planes, candela = _mirrored(planes, candela)
        span = 180.0
    if first in (0, 90, 270) and span == 180:
        return *_from_zero(*_mirrored(planes, candela)), []
    gap = 360 - planes[-1]
    widest = 1.01 * np.max(np.diff(planes)) if len(planes) > 2 else 0
    if first != 0 or not 0 <= gap <= widest:
        raise InputError(
            f"its horizontal angles run from {first:g} to {planes[-1]:g}, should be 0 alone or run from 0 to 90, "
            "180 or 360, or from 90 to 270"
        )
    if gap > 0:
        return np.append(planes, 360.0), np.vstack([candela, candela[:1]]), []
    apart = np.max(np.abs(candela[0] - candela[-1]))
    notes = ["its planes of 0 and 360 degrees differ; that of 0 is taken"] if apart > _SEAM * candela.max() else []
    return planes, np.vstack([candela[:-1], candela[:1]]), notes


def _mirrored(planes: Array, candela: Array) -> tuple[Array, Array]:
    """Return the planes and, after them, their mirror images in the last."""
    return np.concatenate([planes, 2 * planes[-1] - planes[-2::-1]]), np.vstack([candela, candela[-2::-1]])


def _from_zero(planes: Array, candela: Array) -> tuple[Array, Array]:
    """Return planes over a whole turn from anywhere as planes from 0 to 360."""
    if planes[0] == 0:
        return planes, candela
    turned = np.unique(np.round(np.concatenate([[0, 360], planes % 360]), 9))
    columns = [np.interp(turned, planes, column, period=360) for column in candela.T]
    return turned, np.column_stack(columns)
