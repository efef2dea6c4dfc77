"""The `ask` command: what a person asks of a setup before buying or moving a lamp, answered at the hero.

Light is what a meter reads that is held before the hero and faces the camera. Lamp images give it without a render;
a distance comes of the closed-form direct part, and one meter trace confirms it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from gallery.frames.shots import AS_BUILT, shots_of
from render.camera.exposure import Exposure
from render.frame import Shot, solved
from render.images.tracing import Tracing
from render.readings.metering import clear_lux
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.errors import InputError
from scenes.setups.place import Place
from scenes.setups.placed import AS_PLACED, PlacedLamp
from scenes.units import M_PER_CM, ratio, stops

BY_HAND_S = 1 / 60
"""The longest shutter time that is held steady by hand (common practice, no source)."""
FARTHEST_CM = 400.0


@dataclass(frozen=True, eq=False)
class AtHero:
    """A shot with its dimmers solved, and what each lamp gives the hero undimmed: mean, and its part straight there."""

    shot: Shot
    full_lux: NDArray[np.float64]
    direct_lux: NDArray[np.float64]

    @property
    def lamps(self) -> tuple[PlacedLamp, ...]:
        """The setup's lamps."""
        return self.shot.setup.lamps

    @property
    def lux(self) -> float:
        """What all lamps give as they are dimmed, and the room."""
        return float(self.full_lux @ [light.dimmer for light in self.shot.lights])

    @property
    def room_lux(self) -> float:
        """What the room gives."""
        return float(sum(lux for lux, light in zip(self.full_lux, self.shot.lights, strict=True) if light.lamp is None))


def at_hero(arrangement: ResolvedArrangement, setup: str, tracing: Tracing) -> AtHero:
    """Return a setup's light at the hero, of its shot at the usual size: what a sheet measured is reused."""
    (shot,) = shots_of(arrangement, [setup], [AS_BUILT], None)
    return _measured(shot, tracing)


def exposure_facts(hero: AtHero, wish: Exposure) -> dict[str, Any]:
    """Return whether the lamps are enough for a wish on a tripod, and by hand."""
    if hero.lux <= 0:
        raise InputError(f"setup '{hero.shot.setup.name}' gives the hero no light: its lamps are off or turned away")
    return {
        "setup": hero.shot.setup.name,
        "lux": hero.lux,
        "room_lux": hero.room_lux,
        "tripod": _enough(hero, wish),
        "by_hand": _enough(hero, replace(wish, shutter_s=min(wish.shutter_s, BY_HAND_S))),
    }


def lumens_facts(hero: AtHero, wish: Exposure, distance_cm: float | None, tracing: Tracing) -> dict[str, Any]:
    """Return how many lumens the key needs by itself, where it stands or at a distance from the hero.

    `clear_lumens` is the same in closed form, by what comes straight from the lamp with nothing in the way.
    """
    if distance_cm is not None and distance_cm < max(hero.lamps[0].lamp.extent_cm):
        raise InputError(
            f"--distance-cm {distance_cm:g}: {hero.lamps[0].name} is larger than that; take it farther off"
        )
    shot = hero.shot if distance_cm is None else _moved(hero, 0, distance_cm)
    gives = float((hero if distance_cm is None else _measured(shot, tracing)).full_lux[0])
    key, owned = shot.setup.lamps[0], _lumens(hero, 0)
    if gives <= 0:
        raise InputError(f"the key, {key.name}, gives the hero no light from there: something hides it")
    clear = clear_lux(shot.lights[0].emitter, shot.hero, shot.lights[0].radiance)
    return {
        "setup": shot.setup.name, "lamp": key.name, "needed_lux": wish.incident_lux,
        "distance_cm": _distance_cm(hero, key), "owned_lumens": owned, "lumens": owned * wish.incident_lux / gives,
        "clear_lumens": owned * wish.incident_lux / clear if clear > 0 else None,
    }  # fmt: skip


def fill_facts(hero: AtHero, wanted_stops: float, tracing: Tracing) -> dict[str, Any]:
    """Return how far the fill is under the key, and which dimmer or which distance puts it `wanted_stops` under."""
    i = _fill(hero)
    key, fill = hero.lamps[0], hero.lamps[i]
    if hero.direct_lux[0] <= 0:
        raise InputError(
            f"setup '{hero.shot.setup.name}': the {key.role} does not light the hero from the camera's side"
        )
    key_lux = float(hero.full_lux[0]) * key.dimmer
    full = float(hero.full_lux[i])
    if key_lux <= 0 or full <= 0:
        raise InputError(f"setup '{hero.shot.setup.name}': {key.name if key_lux <= 0 else fill.name} gives no light")
    wanted = key_lux / ratio(wanted_stops)
    facts = {
        "setup": hero.shot.setup.name, "key": key.name, "fill": fill.name, "wanted_stops": wanted_stops,
        "now_stops": stops(key_lux / (full * fill.dimmer)) if fill.dimmer > 0 else None,
        "full_stops": stops(key_lux / full), "dimmer": wanted / full, "dimmable": fill.lamp.model.dimmable,
        "needed_lumens": _lumens(hero, i) * wanted / full, "now_cm": _distance_cm(hero, fill),
    }  # fmt: skip
    distance = _distance_for(hero, i, wanted / full)
    if distance is None:
        return {**facts, "distance_cm": None}
    moved = _moved(hero, i, distance)
    traced = _measured(moved, tracing)
    return {
        **facts,
        "distance_cm": distance,
        "at_cm": list(moved.setup.lamps[i].place.at_cm),
        "traced_stops": stops(key_lux / float(traced.full_lux[i])) if traced.full_lux[i] > 0 else None,
    }


def _measured(shot: Shot, tracing: Tracing) -> AtHero:
    setup, light = solved(shot, tracing)
    return AtHero(replace(shot, setup=setup), light.sum(axis=1), light[:, 0])


def _enough(hero: AtHero, wish: Exposure) -> dict[str, float | None]:
    """Return by how much light is enough, and what each setting alone would have to be to take it as it is.

    `lamps_factor` is what the lamps' light, without the room's, would have to be multiplied with.
    """
    share = hero.lux / wish.incident_lux
    lamps = hero.lux - hero.room_lux
    factor = (wish.incident_lux - hero.room_lux) / lamps if lamps > 0 else None
    return {
        "f_number": wish.f_number, "shutter_s": wish.shutter_s, "iso": wish.iso, "needed_lux": wish.incident_lux,
        "stops_to_spare": stops(share), "lamps_factor": factor, "or_shutter_s": wish.shutter_s / share,
        "or_iso": wish.iso / share, "or_f_number": wish.f_number * share**0.5,
    }  # fmt: skip


def _fill(hero: AtHero) -> int:
    if len(hero.lamps) < 2:
        raise InputError(f"setup '{hero.shot.setup.name}' has one lamp and no fill; three-point has one")
    roles = [lamp.role for lamp in hero.lamps]
    if "fill" in roles[1:]:
        return roles.index("fill", 1)
    if hero.shot.setup.name == AS_PLACED:
        return 1
    raise InputError(f"setup '{hero.shot.setup.name}' has no lamp in the role of fill; three-point has one")


def _lumens(hero: AtHero, i: int) -> float:
    """Return the lumens on a lamp's label: of the bare lamp, without what stands before it."""
    return hero.lamps[i].lamp.bare_lumens


def _distance_cm(hero: AtHero, lamp: PlacedLamp) -> float:
    return float(np.linalg.norm(np.subtract(lamp.place.at_cm, hero.shot.setup.hero_cm)))


def _moved(hero: AtHero, i: int, distance_cm: float) -> Shot:
    """Return the shot with a lamp moved along its line from the hero."""
    setup = hero.shot.setup
    lamp, middle = setup.lamps[i], np.asarray(setup.hero_cm)
    along = np.subtract(lamp.place.at_cm, middle) * distance_cm / _distance_cm(hero, lamp)
    x, y, z = (float(v) for v in middle + along)
    ax, ay, az = (float(v) for v in middle + along + lamp.place.facing)
    place = Place((x, y, z), (ax, ay, az))
    lamps = (*setup.lamps[:i], replace(lamp, place=place), *setup.lamps[i + 1 :])
    return replace(hero.shot, setup=replace(setup, lamps=lamps))


def _distance_for(hero: AtHero, i: int, share: float) -> float | None:
    """Return the distance at which the closed-form direct part is `share` of what it is now; None where none does."""

    def clear(distance_cm: float) -> float:
        light = _moved(hero, i, distance_cm).lights[i]
        return clear_lux(light.emitter, hero.shot.hero, light.radiance)

    now_cm = _distance_cm(hero, hero.lamps[i])
    wanted = share * clear(now_cm)
    hero_cm = np.asarray(hero.shot.setup.hero_cm)
    held_cm = float(np.linalg.norm(hero.shot.hero.at / M_PER_CM - hero_cm))  # the meter, before the hero
    nearest = max(now_cm / 4, held_cm + max(hero.lamps[i].lamp.extent_cm))
    if not clear(nearest) > wanted > clear(FARTHEST_CM):
        return None
    return float(brentq(lambda cm: clear(cm) - wanted, nearest, FARTHEST_CM, xtol=0.01))
