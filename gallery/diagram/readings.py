"""What a light meter should read of each lamp alone, so that it checks how lamps stand and are dimmed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gallery.answers.setup_light import distance_cm, moved
from render.hero_light import HeroLight
from render.readings.metering import unobstructed_lux
from scenes.units import M_PER_CM, stops


@dataclass(frozen=True)
class LampReading:
    """A lamp alone at the meter: on the string from the lamp to the hero, facing the lamp, the model away.

    Parameters
    ----------
    lux
        As dimmed, straight from the lamp and by way of sheet and cards; room light left out.
    from_lamp_cm
        From the lamp's centre to the meter: it is where the string enters the model.
    stops_per_cm
        What is lost where the lamp stands 1 cm farther along its string, by its direct light; None without any.
    """

    lux: float
    from_lamp_cm: float
    stops_per_cm: float | None


def lamp_readings(light: HeroLight) -> list[LampReading]:
    """Return the reading of each lamp of a setup."""
    return [_reading(light, i) for i in range(len(light.setup.lamps))]


def room_lux(light: HeroLight) -> float:
    """Return what the room alone gives on the meter, lx: the most by any lamp's string."""
    count = len(light.setup.lamps)
    return max((float(light.by_emitter(i)[count:].sum()) for i in range(count)), default=0.0)


def _reading(light: HeroLight, i: int) -> LampReading:
    lamp = light.setup.lamps[i]
    away = float(np.linalg.norm(light.shot.receptors[i].at / M_PER_CM - np.asarray(lamp.place.at_cm)))
    return LampReading(float(light.by_emitter(i)[i].sum()), away, _stops_per_cm(light, i))


def _stops_per_cm(light: HeroLight, i: int) -> float | None:
    meter = light.shot.receptors[i]
    here, there = light.shot.lit_emitters[i], moved(light, i, distance_cm(light.setup, i) + 1.0).lit_emitters[i]
    now, then = (unobstructed_lux(lamp.shape, meter, lamp.radiance) for lamp in (here, there))
    return stops(now / then) if now > 0 and then > 0 else None
