"""`spruelight ask lumens`: how many lumens the key needs for an exposure."""

from __future__ import annotations

from typing import Any

from render.camera.exposure import Exposure
from render.images.tracing import Tracing
from render.readings.metering import unobstructed_lux
from scenes.errors import InputError

from .hero_light import HeroLight, measure


def lumens_facts(light: HeroLight, exposure: Exposure, distance_cm: float | None, tracing: Tracing) -> dict[str, Any]:
    """Return how many lumens the key needs by itself, in its place or at a distance from the hero.

    Lumens are those of the bare lamp, without its modifiers, as on its label. `clear_lumens` is the closed form, by
    direct light with nothing in the way.

    Raises
    ------
    InputError
        Where the key is larger than the distance, or does not light the hero.
    """
    key = light.lamps[0]
    if distance_cm is not None:
        if distance_cm < max(key.lamp.extent_cm):
            raise InputError(f"--distance-cm {distance_cm:g}: {key.name} is larger than that; take it farther off")
        light = measure(light.moved(0, distance_cm), tracing)
    shot, full_lux, owned = light.shot, float(light.full_lux[0]), key.lamp.bare_lumens
    if full_lux <= 0:
        raise InputError(f"the key, {key.name}, gives the hero no light from there: something hides it")
    clear = unobstructed_lux(shot.lit_emitters[0].shape, shot.hero_meter, shot.lit_emitters[0].radiance)
    return {
        "setup": shot.setup.name, "lamp": key.name, "needed_lux": exposure.incident_lux,
        "distance_cm": light.distance_cm(light.lamps[0]), "owned_lumens": owned,
        "lumens": owned * exposure.incident_lux / full_lux,
        "clear_lumens": owned * exposure.incident_lux / clear if clear > 0 else None,
    }  # fmt: skip


def lumens_lines(facts: dict[str, Any]) -> list[str]:
    """Return what the key needs, in one line."""
    more = facts["lumens"] / facts["owned_lumens"]
    has = f"{facts['lamp']} gives {facts['owned_lumens']:.0f} lm, " + (
        f"{more:.1f} times too little" if more > 1 else f"enough at {100 * more:.0f} %"
    )
    clear = facts["clear_lumens"]
    bare = f" ({clear:.0f} lm if nothing blocked or returned light)" if clear else ""
    return [
        f"{facts['setup']}: {facts['needed_lux']:.0f} lx at the hero takes {facts['lumens']:.0f} lm "
        f"from a key {facts['distance_cm']:.0f} cm away{bare}; {has}"
    ]
