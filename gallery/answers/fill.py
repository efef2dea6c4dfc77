"""`spruelight ask fill`: how far the fill is under the key, and what makes it as far as wanted.

A distance is found by the closed form of the direct light, and confirmed by tracing the lamp there.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from render.images.tracing import Tracing
from render.readings.metering import unobstructed_lux
from scenes.errors import InputError
from scenes.setups.placed import AS_PLACED, PlacedLamp
from scenes.units import M_PER_CM, ratio, stops

from .hero_light import HeroLight, measure

FARTHEST_CM: Final = 400.0


def fill_facts(light: HeroLight, wanted_stops: float, tracing: Tracing) -> dict[str, Any]:
    """Return how far the fill is under the key, and which dimmer or which distance puts it `wanted_stops` under.

    Raises
    ------
    InputError
        Where the setup has no fill, or one of the two does not light the hero.
    """
    i = _fill(light)
    fill, key_lux, full_lux = light.lamps[i], _key_lux(light), float(light.full_lux[i])
    if full_lux <= 0:
        raise _dark(light, fill)
    wanted = key_lux / ratio(wanted_stops)
    facts = {
        "setup": light.shot.setup.name, "key": light.lamps[0].name, "fill": fill.name, "wanted_stops": wanted_stops,
        "now_stops": stops(key_lux / (full_lux * fill.dimmer)) if fill.dimmer > 0 else None,
        "full_stops": stops(key_lux / full_lux), "dimmer": wanted / full_lux, "dimmable": fill.lamp.model.dimmable,
        "needed_lumens": fill.lamp.bare_lumens * wanted / full_lux, "now_cm": light.distance_cm(fill),
    }  # fmt: skip
    distance = _distance_for(light, i, wanted / full_lux)
    if distance is None:
        return {**facts, "distance_cm": None}
    moved = light.moved(i, distance)
    traced_lux = float(measure(moved, tracing).full_lux[i])
    return {
        **facts,
        "distance_cm": distance,
        "at_cm": list(moved.setup.lamps[i].place.at_cm),
        "traced_stops": stops(key_lux / traced_lux) if traced_lux > 0 else None,
    }


def fill_lines(facts: dict[str, Any]) -> list[str]:
    """Return how far the fill is under the key and what puts it right, a line each."""
    fill, wanted = facts["fill"], facts["wanted_stops"]
    now = "it is off" if facts["now_stops"] is None else f"it is {_under(facts['now_stops'])} the key now"
    lines = [f"{fill} is the fill: {now}, and {_under(facts['full_stops'])} at full"]
    if facts["dimmer"] > 1:
        lines.append(f"too weak for {wanted:g} stops: it would take {facts['needed_lumens']:.0f} lm, or a dimmer key")
    elif facts["dimmable"]:
        lines.append(f"dimmed to {100 * facts['dimmer']:.0f} % it is {wanted:g} stops under")
    if facts["distance_cm"] is None:
        lines.append("no distance up to 4 m on its line from the hero makes it so")
        return lines
    traced = facts["traced_stops"]
    x, y, z = facts["at_cm"]
    confirmed = "something hides it there" if traced is None else f"traced there: {_under(traced)}"
    start = "or at full" if len(lines) > 1 else "at full"
    lines.append(
        f"{start}, {facts['distance_cm']:.0f} cm from the hero in place of {facts['now_cm']:.0f} cm, at "
        f"[{x:.0f}, {y:.0f}, {z:.0f}] cm; {confirmed}"
    )
    return lines


def _fill(light: HeroLight) -> int:
    """Return the number of the lamp that is the fill."""
    setup = light.shot.setup
    if len(light.lamps) < 2:
        raise InputError(f"setup '{setup.name}' has one lamp and no fill; three-point has one")
    roles = [lamp.role for lamp in light.lamps]
    if "fill" in roles[1:]:
        return roles.index("fill", 1)
    if setup.name == AS_PLACED:
        return 1
    raise InputError(f"setup '{setup.name}' has no lamp in the role of fill; three-point has one")


def _key_lux(light: HeroLight) -> float:
    key = light.lamps[0]
    if light.direct_lux[0] <= 0:
        raise InputError(
            f"setup '{light.shot.setup.name}': the {key.role} does not light the hero from the camera's side"
        )
    lux = float(light.full_lux[0]) * key.dimmer
    if lux <= 0:
        raise _dark(light, key)
    return lux


def _dark(light: HeroLight, lamp: PlacedLamp) -> InputError:
    return InputError(f"setup '{light.shot.setup.name}': {lamp.name} gives no light")


def _distance_for(light: HeroLight, i: int, share: float) -> float | None:
    """Return the distance at which the direct light of lamp `i` is `share` of what it is now; None where none does."""
    from scipy.optimize import brentq

    def clear(distance_cm: float) -> float:
        moved = light.moved(i, distance_cm).lit_emitters[i]
        return unobstructed_lux(moved.shape, light.shot.hero_meter, moved.radiance)

    now_cm = light.distance_cm(light.lamps[i])
    wanted = share * clear(now_cm)
    meter_cm = float(np.linalg.norm(light.shot.hero_meter.at / M_PER_CM - np.asarray(light.shot.setup.hero_cm)))
    nearest = max(now_cm / 4, meter_cm + max(light.lamps[i].lamp.extent_cm))
    if not clear(nearest) > wanted > clear(FARTHEST_CM):
        return None
    return float(brentq(lambda cm: clear(cm) - wanted, nearest, FARTHEST_CM, xtol=0.01))


def _under(stops: float) -> str:
    return f"{stops:.1f} stops under" if stops >= 0 else f"{-stops:.1f} stops over"
