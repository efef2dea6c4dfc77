"""`spruelight ask fill`: how far the fill is under the key, and what makes it as far as wanted.

Each of the two is measured on the receptor that faces it. A distance is found by the closed form of the direct light,
and confirmed by tracing the lamp there.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from render.hero_light import HeroLight, hero_light
from render.images.tracing import Tracing
from render.readings.metering import unobstructed_lux
from scenes.arrangement.arrangement import RoomModel
from scenes.errors import InputError
from scenes.lengths import distance_words
from scenes.setups.placed import AS_PLACED
from scenes.units import M_PER_CM, ratio, stops

from .room_for_lamp import nearest_free_cm, obstacle
from .setup_light import distance_cm, moved
from .unlit import require_lamp

FARTHEST_CM: Final = 400.0


def fill_facts(light: HeroLight, wanted_stops: float, room: RoomModel, tracing: Tracing) -> dict[str, Any]:
    """Return how far the fill is under the key, and which dimmer or which distance puts it `wanted_stops` under.

    Where the lamp has no room at that distance, `at_cm` is the nearest place with room, and `obstacle` what it would do
    there. The key is the lamp that ratios count from: in rim-fill the rim.

    Raises
    ------
    InputError
        Where the setup has no fill, or one of the two does not light the hero.
    """
    key, i = light.setup.reference, _fill(light)
    for lamp in (key, i):
        require_lamp(light, lamp)
    fill, full_lux = light.setup.lamps[i], float(light.facing_lux[i])
    key_lux = float(light.facing_lux[key]) * light.setup.lamps[key].dimmer
    if key_lux <= 0:
        raise InputError(f"setup '{light.setup.name}': {light.setup.lamps[key].name} is off: nothing to be under")
    wanted = key_lux / ratio(wanted_stops)
    facts = {
        "setup": light.setup.name, "key": light.setup.lamps[key].name, "key_role": light.setup.lamps[key].role,
        "fill": fill.name, "wanted_stops": wanted_stops,
        "now_stops": stops(key_lux / (full_lux * fill.dimmer)) if fill.dimmer > 0 else None,
        "full_stops": stops(key_lux / full_lux), "dimmer": wanted / full_lux, "dimmable": fill.lamp.model.dimmable,
        "needed_lumens": fill.lamp.bare_lumens * wanted / full_lux, "now_cm": distance_cm(light.setup, i),
    }  # fmt: skip
    distance = _distance_for(light, i, wanted / full_lux)
    if distance is None:
        return {**facts, "distance_cm": None, "obstacle": None}
    broken = obstacle(light, i, distance, room)
    free = distance if broken is None else nearest_free_cm(light, i, distance, room)
    facts = {**facts, "distance_cm": free, "wished_cm": distance, "obstacle": broken and broken.would}
    if free is None:
        return facts
    there = moved(light, i, free)
    traced_lux = float(hero_light(there, tracing).facing_lux[i])
    return {
        **facts,
        "at_cm": list(there.setup.lamps[i].place.at_cm),
        "traced_stops": stops(key_lux / traced_lux) if traced_lux > 0 else None,
    }


def fill_lines(facts: dict[str, Any]) -> list[str]:
    """Return how far the fill is under the key and what puts it right, a line each."""
    fill, wanted, key = facts["fill"], facts["wanted_stops"], facts["key_role"]
    now = "it is off" if facts["now_stops"] is None else f"it is {_under(facts['now_stops'])} the {key} now"
    lines = [f"{fill} is the fill: {now}, and {_under(facts['full_stops'])} at full"]
    if facts["dimmer"] > 1:
        lines.append(f"too weak for {wanted:g} stops: it would take {facts['needed_lumens']:.0f} lm, or a dimmer {key}")
    elif facts["dimmable"]:
        lines.append(f"dimmed to {100 * facts['dimmer']:.0f} % it is {wanted:g} stops under")
    return [*lines, _distance_line(facts, "or at full" if len(lines) > 1 else "at full")]


def _distance_line(facts: dict[str, Any], start: str) -> str:
    if facts["distance_cm"] is None and facts["obstacle"] is None:
        return "no distance up to 4 m on its line from the hero makes it so"
    if facts["distance_cm"] is None:
        return (
            f"at {distance_words(facts['wished_cm'])} from the hero it would {facts['obstacle']}: its line has no room"
        )
    traced = facts["traced_stops"]
    x, y, z = facts["at_cm"]
    confirmed = "something hides it there" if traced is None else f"traced there: {_under(traced)}"
    at = f"at [{x:.0f}, {y:.0f}, {z:.0f}] cm"
    where = f"{distance_words(facts['distance_cm'])} from the hero in place of {distance_words(facts['now_cm'])}, {at}"
    if facts["obstacle"] is None:
        return f"{start}, {where}; {confirmed}"
    refused = f"{start}, {distance_words(facts['wished_cm'])} from the hero it would {facts['obstacle']}"
    if round(facts["distance_cm"]) == round(facts["now_cm"]):
        return f"{refused}; its line has no room beyond where it is now"
    return f"{refused}; the nearest with room is {where}; {confirmed}"


def _fill(light: HeroLight) -> int:
    """Return the number of the lamp that is the fill."""
    setup = light.setup
    if len(setup.lamps) < 2:
        raise InputError(f"setup '{setup.name}' has one lamp and no fill; three-point has one")
    roles = [lamp.role for lamp in setup.lamps]
    if "fill" in roles[1:]:
        return roles.index("fill", 1)
    if setup.name == AS_PLACED:
        return 1
    raise InputError(f"setup '{setup.name}' has no lamp in the role of fill; three-point has one")


def _distance_for(light: HeroLight, i: int, share: float) -> float | None:
    """Return the distance at which the direct light of lamp `i` is `share` of what it is now; None where none does."""
    from scipy.optimize import brentq

    receptor = light.shot.receptors[i]

    def clear(to_cm: float) -> float:
        there = moved(light, i, to_cm).lit_emitters[i]
        return unobstructed_lux(there.shape, receptor, there.radiance)

    now_cm = distance_cm(light.setup, i)
    wanted = share * clear(now_cm)
    receptor_cm = float(np.linalg.norm(receptor.at / M_PER_CM - np.asarray(light.setup.hero_cm)))
    nearest = max(now_cm / 4, receptor_cm + max(light.setup.lamps[i].lamp.extent_cm))
    if not clear(nearest) > wanted > clear(FARTHEST_CM):
        return None
    return float(brentq(lambda cm: clear(cm) - wanted, nearest, FARTHEST_CM, xtol=0.01))


def _under(stops: float) -> str:
    tenths = round(stops, 1)
    return f"{tenths + 0.0:.1f} stops under" if tenths >= 0 else f"{-tenths:.1f} stops over"
