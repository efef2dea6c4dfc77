"""Places in words, for a tape measure."""

from __future__ import annotations

from scenes.geometry import round_and_rise

from .place import Place


def placement_words(role: str, place: Place) -> str:
    """Return a place as a phrase: `key: 24 cm left and 30 cm in front of the centre mark, ...`."""
    return f"{role}: {_spot(place)}, {_tilt(place)}"


def _spot(place: Place) -> str:
    x, y, z = (round(v) for v in place.at_cm)
    sideways = f"{abs(x)} cm {'right' if x > 0 else 'left'}" if x else ""
    along = f"{abs(y)} cm {'behind' if y > 0 else 'in front of'} the centre mark" if y else ""
    if sideways and along:
        ground = f"{sideways} and {along}"
    elif sideways:
        ground = f"{sideways} of the centre mark"
    else:
        ground = along or "over the centre mark"
    return f"{ground}, lamp centre {z} cm up"


def _tilt(place: Place) -> str:
    _, rise = round_and_rise(place.facing)
    tilt = round(abs(rise))
    if tilt < 1:
        return "level"
    return f"tilted {'up' if rise > 0 else 'down'} {tilt} degrees"
