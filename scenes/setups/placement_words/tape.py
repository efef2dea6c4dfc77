"""Points and angles in words, as read off a tape measure and a protractor."""

from __future__ import annotations

from collections.abc import Sequence

from materials.arrays import Vector
from scenes.lengths import Reading, tape_reading


def format_degrees(degrees: float) -> str:
    """Return an angle: `1 degree`, `35 degrees`."""
    whole = round(degrees)
    return f"{whole} degree{'' if whole == 1 else 's'}"


def ground_words(point_cm: Sequence[float] | Vector, reading: Reading = tape_reading) -> str:
    """Return where a point lies seen from above: `24 cm left and 30 cm in front of the centre mark`."""
    x, y = reading(float(point_cm[0])), reading(float(point_cm[1]))
    sideways = f"{abs(x):g} cm {'right' if x > 0 else 'left'}" if x else ""
    along = f"{abs(y):g} cm {'behind' if y > 0 else 'in front of'} the centre mark" if y else ""
    if sideways and along:
        return f"{sideways} and {along}"
    return along or (f"{sideways} of the centre mark" if sideways else "over the centre mark")


def height_words(z_cm: float, reading: Reading = tape_reading) -> str:
    """Return a height over the table: `41 cm up`, `on the table`, `5 cm below the table's surface`."""
    z = reading(z_cm)
    if not z:
        return "on the table"
    return f"{z:g} cm up" if z > 0 else f"{-z:g} cm below the table's surface"


def tilt_words(rise_deg: float) -> str:
    """Return a tilt: `tilted down 35 degrees`, `level`."""
    if not round(rise_deg):
        return "level"
    return f"tilted {'up' if rise_deg > 0 else 'down'} {format_degrees(abs(rise_deg))}"
