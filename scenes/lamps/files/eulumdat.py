"""Photometric files of EULUMDAT (.ldt): one value a line, planes by CIE 121."""

from __future__ import annotations

import re
from typing import Final

import numpy as np

from materials.arrays import Array
from scenes.errors import InputError

from .c_planes import distribution_of_planes
from .photometry import LARGEST, LONGEST_CM, Numbers, Photometry, Shape, disc_of, lumens_note

MOST_PLANES: Final = 3601
MOST_ANGLES: Final = 3601
MOST_SETS: Final = 20

_LINES_OF_A_SET: Final = 6
_DIRECT_RATIOS: Final = 10
_LINES_BEFORE_ANGLES: Final = 26 + _LINES_OF_A_SET + _DIRECT_RATIOS
_CM_PER_MM: Final = 0.1


def read_eulumdat(text: str) -> Photometry:
    """Return the content of the text of a EULUMDAT file (Stockmar 1990, "EULUMDAT - ein Leuchtendatenformat").

    Intensities are per 1000 lm of the first set of light sources, in this file and in its absolute photometry, which
    a negative number of sources tells. The luminous area's length lies along the plane of 90, across that of 0 (CIE
    121 (memory)): it is the lamp's height axis. Direct ratios, and the tilt while measuring, are left out.

    Raises
    ------
    InputError
        A sentence without the file's name, where the text is no such file.
    """
    lines = [(number, line.strip()) for number, line in enumerate(re.split(r"\r\n?|\n", text), 1)]
    while lines and not lines[-1][1].strip("\x1a"):
        del lines[-1]
    if len(lines) <= _LINES_BEFORE_ANGLES:
        raise InputError(
            f"it is no EULUMDAT file, or cut short: it has {len(lines)} lines, should have 42 before angles"
        )
    numbers = Numbers([(number, line.replace(",", ".")) for number, line in lines])
    numbers.skip(1, "lines")
    numbers.count("the type of luminaire", 0, 3)
    symmetry = numbers.count("the symmetry", 0, 4)
    planes = numbers.count("the number of planes", 1, MOST_PLANES)
    numbers.take("the step between planes")
    angles = numbers.count("the number of angles in a plane", 2, MOST_ANGLES)
    numbers.skip(6 + 3, "lines of words and sizes")
    length_cm, width_cm = (_CM_PER_MM * numbers.take("the size of the luminous area", 0) for _ in range(2))
    numbers.skip(4 + 2, "heights and ratios")
    factor = numbers.take("the factor of the intensities", above=0)
    notes = [] if numbers.take("the tilt while measuring") == 0 else ["the tilt at which it was measured is left out"]
    source, watts, is_absolute, more = _sets(numbers)
    notes += more
    numbers.skip(_DIRECT_RATIOS, "direct ratios")
    numbers.need(planes + angles, "angles")
    stated_deg = numbers.array(planes, "the angle of a plane")
    vertical_deg = numbers.array(angles, "an angle in a plane")
    plane_deg = _planes_of(symmetry, stated_deg)
    numbers.need(len(plane_deg) * angles, "intensities")
    candela = numbers.array(len(plane_deg) * angles, "an intensity", 0).reshape(-1, angles) * (factor * source / 1000)
    numbers.end()
    if candela.max() > LARGEST:
        raise InputError(f"its intensities, times its factors, reach {candela.max():g} cd, should be under {LARGEST:g}")
    distribution, more = distribution_of_planes(vertical_deg, plane_deg, candela)
    lumens = distribution.flux()
    shape, size_cm, opening_notes = _opening(length_cm, width_cm)
    notes += more + opening_notes + lumens_note(lumens, source)
    return Photometry(distribution, lumens, None if is_absolute else source, watts, shape, size_cm, tuple(notes))


def _sets(numbers: Numbers) -> tuple[float, float, bool, list[str]]:
    """Return lumens, watts and whether absolute, of the first set of light sources, and notes."""
    sets = numbers.count("the number of sets of light sources", 1, MOST_SETS)
    is_absolute = numbers.take("the number of light sources") < 0
    numbers.skip(1, "names of light sources")
    lumens = numbers.take("the lumens of the light sources", above=0)
    numbers.skip(2, "lines on their colour")
    watts = numbers.take("the watts", 0)
    numbers.skip((sets - 1) * _LINES_OF_A_SET, "lines on other light sources")
    return lumens, watts, is_absolute, [] if sets == 1 else [f"the first of its {sets} sets of light sources is taken"]


def _planes_of(symmetry: int, stated_deg: Array) -> Array:
    """Return the angles of the planes whose intensities the file holds, in its order, rising."""
    if symmetry == 1:
        return np.zeros(1)
    if symmetry == 3:
        planes = np.concatenate([stated_deg[stated_deg >= 270], stated_deg[stated_deg <= 90] + 360])
        where = "from 270 over 0 to 90 degrees"
    else:
        last = {0: 360.0, 2: 180.0, 4: 90.0}[symmetry]
        planes = stated_deg[stated_deg <= last]
        where = f"up to {last:g} degrees"
    if len(planes) == 0:
        raise InputError(f"it states no plane {where}, where its symmetry should have some")
    return planes


def _opening(length_cm: float, width_cm: float) -> tuple[Shape, tuple[float, float], list[str]]:
    if max(length_cm, width_cm) > LONGEST_CM:
        raise InputError(f"its luminous area is {max(length_cm, width_cm) / 100:g} m long, should be under 100 m")
    if length_cm == 0:
        return "point", (0.0, 0.0), []
    if width_cm == 0:
        return "disc", *disc_of(length_cm, length_cm)
    return "rectangle", (width_cm, length_cm), []
