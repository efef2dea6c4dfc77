"""`spruelight ask lumens`: how many lumens the key needs for an exposure."""

from __future__ import annotations

from typing import Any, Final

from render.camera.exposure import Exposure
from render.hero_light import HeroLight, hero_light
from render.images.tracing import Tracing
from render.readings.metering import unobstructed_lux
from render.shot import Shot
from scenes.arrangement.arrangement import RoomModel
from scenes.errors import InputError
from scenes.lengths import distance_words
from scenes.units import stops

from .exposure import needed_lux
from .room_for_lamp import nearest_free_cm, obstacle
from .setup_light import distance_cm, key_of, moved
from .unlit import require_lamp, require_light

SAME_STOPS: Final = 0.17
"""Half of the third of a stop that cameras step in: what their settings round."""


def lumens_facts(
    light: HeroLight, exposure: Exposure, at_cm: float | None, room: RoomModel, tracing: Tracing
) -> dict[str, Any]:
    """Return how many lumens the key needs by itself, in its place or at a distance from the hero.

    The key is the lamp that meters. Lumens are those of the bare lamp, without its modifiers, as on its label.
    `clear_lumens` is the closed form, by direct light with nothing in the way.

    Raises
    ------
    InputError
        Where the key has no room at that distance, or does not light the hero or the receptor that meters.
    """
    i = key_of(light)
    if at_cm is not None:
        light = hero_light(_moved_clear(light, i, at_cm, room), tracing)
    require_light(light)
    require_lamp(light, i)
    key, needed = light.setup.lamps[i], needed_lux(light, exposure)
    emitter, receptor = light.emitters[i], light.shot.receptors[light.receptor]
    owned, clear = key.lamp.bare_lumens, unobstructed_lux(emitter.shape, receptor, emitter.radiance)
    lux = float(light.full_lux[i, ..., light.receptor].mean(axis=0).sum())
    if lux <= 0:
        where = f"where the exposure is metered, {light.basis}"
        raise InputError(f"setup '{light.setup.name}': no light of the {key.role} ({key.name}) falls {where}")
    return {
        "setup": light.setup.name, "lamp": key.name, "role": key.role, "needed_lux": needed,
        "basis": light.basis, "distance_cm": distance_cm(light.setup, i),
        "owned_lumens": owned, "lumens": owned * needed / lux,
        "clear_lumens": owned * needed / clear if clear > 0 else None,
    }  # fmt: skip


def lumens_lines(facts: dict[str, Any]) -> list[str]:
    """Return what the key needs, in one line."""
    more = facts["lumens"] / facts["owned_lumens"]
    if abs(stops(more)) <= SAME_STOPS:
        has = "just enough"
    else:
        has = f"{more:.1f} times too little" if more > 1 else f"enough at {100 * more:.0f} %"
    clear = facts["clear_lumens"]
    bare = f" ({clear:.0f} lm if nothing blocked or returned light)" if clear else ""
    return [
        f"{facts['setup']}: {facts['needed_lux']:.0f} lx at the hero ({facts['basis']}) takes {facts['lumens']:.0f} lm "
        f"from a {facts['role']} {distance_words(facts['distance_cm'])} away{bare}; "
        f"{facts['lamp']} gives {facts['owned_lumens']:.0f} lm, {has}"
    ]


def _moved_clear(light: HeroLight, i: int, to_cm: float, room: RoomModel) -> Shot:
    """Return the shot with lamp `i` at a distance from the hero.

    Raises
    ------
    InputError
        Where it has no room there.
    """
    lamp = light.setup.lamps[i]
    if to_cm < max(lamp.lamp.extent_cm):
        raise InputError(f"--distance-cm {to_cm:g}: {lamp.name} is larger than that; take it farther off")
    if (broken := obstacle(light, i, to_cm, room)) is not None:
        free = nearest_free_cm(light, i, to_cm, room)
        way = (
            "there is no room for it on that line"
            if free is None
            else f"the nearest with room is {distance_words(free)}"
        )
        raise InputError(f"--distance-cm {to_cm:g}: {lamp.name} would {broken.would} there; {way}")
    return moved(light, i, to_cm)
