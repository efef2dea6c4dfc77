"""Photometric files of ANSI/IES LM-63, of 1986, 1991, 1995, 2002 and 2019."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from scenes.errors import InputError

from .c_planes import distribution_of_planes
from .photometry import LARGEST, LONGEST_CM, Numbers, Photometry, Shape, disc_of, lumens_note, shown

MOST_ANGLES: Final = 10_000
"""Angles of one kind; no goniometer measures more."""

_YEAR: Final = re.compile(r"IES(?:NA)?:?\s*(?:LM-63-)?(\d{4}|\d{2})\b", re.IGNORECASE)
_TILT: Final = re.compile(r"TILT\s*=\s*(.*)", re.IGNORECASE)
_CM_PER_UNIT: Final = {1: 30.48, 2: 100.0}
_MOST_TILTS: Final = 1000


class _Opening(NamedTuple):
    """The luminous opening as written, cm: across the plane of 0, along it, and up; negative where it is round."""

    width: float
    length: float
    height: float


def read_ies(text: str) -> Photometry:
    """Return the content of the text of an LM-63 file.

    The candela are multiplied by the file's multiplier and ballast factor, and in files before 1995 by the
    ballast-lamp factor, whose place later holds something else. An opening's length lies along the plane of 0, which
    is the lamp's width axis; its width along that of 90, the height axis. Lumens of a lamp that are not above 0, as
    -1, tell absolute photometry.

    Raises
    ------
    InputError
        A sentence without the file's name, where the text is no such file or not of type C.
    """
    lines = re.split(r"\r\n?|\n", text)
    year = _year(next((line for line in lines if line.strip()), ""))
    numbers, notes = _after_tilt(lines)
    numbers.need(13, "numbers after its line TILT=")
    lamps = numbers.count("the number of lamps", 1, 1000)
    each = numbers.take("the lumens of a lamp")
    multiplier = numbers.take("the multiplier of the candela", above=0)
    verticals = numbers.count("the number of vertical angles", 2, MOST_ANGLES)
    planes = numbers.count("the number of horizontal angles", 1, MOST_ANGLES)
    _check_type(numbers.count("the photometric type", 1, 3))
    unit_cm = _CM_PER_UNIT[numbers.count("the unit (1 for feet, 2 for metres)", 1, 2)]
    opening = _Opening(*(numbers.take("the luminous opening") * unit_cm for _ in range(3)))
    factor = multiplier * numbers.take("the ballast factor", above=0)
    later = numbers.take("the number after the ballast factor")
    factor *= later if year < 1995 else 1
    watts = numbers.take("the watts", 0)
    count = verticals + planes + verticals * planes
    numbers.need(count, "angles and candela")
    vertical_deg = numbers.array(verticals, "a vertical angle")
    plane_deg = numbers.array(planes, "a horizontal angle")
    candela = factor * numbers.array(verticals * planes, "candela", 0).reshape(planes, verticals)
    numbers.end()
    if not 0 <= candela.min() <= candela.max() <= LARGEST:
        raise InputError(f"its candela, times its factors, reach {candela.max():g}, should be from 0 to {LARGEST:g}")
    distribution, more = distribution_of_planes(vertical_deg, plane_deg, candela)
    source = lamps * each if each > 0 else None
    shape, size_cm, opening_notes = _opening(year, opening)
    lumens = distribution.flux()
    notes += more + opening_notes + lumens_note(lumens, source)
    return Photometry(distribution, lumens, source, watts, shape, size_cm, tuple(notes))


def _year(first_line: str) -> int:
    """Return the year of the standard that the first line names; the first edition had no such line."""
    found = _YEAR.match(first_line.strip())
    if not found:
        return 1986
    year = int(found[1])
    return year if year > 99 else 1900 + year


def _after_tilt(lines: list[str]) -> tuple[Numbers, list[str]]:
    """Return the numbers after the line TILT=, those about tilting left out, and notes."""
    found = next(((i, match[1]) for i, line in enumerate(lines) if (match := _TILT.fullmatch(line.strip()))), None)
    if found is None:
        raise InputError("it is no photometric file of IES LM-63: it has no line that begins with TILT=")
    index, tilt = found
    written = [
        (number, word)
        for number, line in enumerate(lines[index + 1 :], index + 2)
        for word in re.split(r"[\s,\x1a]+", line)
        if word
    ]
    numbers = Numbers(written)
    if tilt.upper() == "NONE":
        return numbers, []
    if tilt.upper() != "INCLUDE":
        raise InputError(
            f"line {index + 1} names another file, {shown(tilt)}, for tilted lamps: it should be TILT=NONE"
        )
    numbers.take("the lamp's place in the luminaire")
    numbers.skip(2 * numbers.count("the number of tilts", 1, _MOST_TILTS), "angles and factors for tilts")
    return numbers, ["how its light changes with the lamp's tilt is left out"]


def _check_type(photometric_type: int) -> None:
    if photometric_type != 1:
        letter = {2: "B", 3: "A"}[photometric_type]
        raise InputError(f"it is photometry of type {letter}, should be of type C: the maker may have it as that too")


def _opening(year: int, opening: _Opening) -> tuple[Shape, tuple[float, float], list[str]]:
    """Return the opening seen from where the lamp faces: shape, size along the planes of 0 and 90, notes.

    LM-63-2002 and later, table 1: each of width and length is negative where the opening is round that way. Before, a
    negative width alone was a circle, or an ellipse beside a length; a lying cylinder had a negative height alone.
    """
    if max(map(abs, opening)) > LONGEST_CM:
        raise InputError(
            f"its opening is {max(map(abs, opening)) / 100:g} m long, should be under {LONGEST_CM / 100:g}"
        )
    width, length, height = map(abs, opening)
    if opening.height < 0:  # the side that is not stated is as the height
        width, length = width or height, length or height
    notes = []
    if opening.width < 0 and length == 0:
        length = width
    if not (width and length):
        if width or length:
            notes.append(f"its opening is a line of {max(width, length):.3g} cm, and is taken as a point")
        return "point", (0.0, 0.0), notes
    if opening.height != 0:
        notes.append(f"its opening is {height:.3g} cm high too; all of its light is taken to leave through its face")
    either = opening.width < 0 or opening.length < 0
    both = opening.width < 0 and opening.length <= 0
    if both or (either and year < 2002):
        size_cm, more = disc_of(length, width)
        return "disc", size_cm, notes + more
    return "rectangle", (length, width), notes
