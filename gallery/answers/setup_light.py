"""The light of a setup that the questions of `spruelight ask` are answered from: that of its frames."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gallery.frames.shots import AS_BUILT, shots_of
from render.camera.exposure import ChosenExposure
from render.hero_light import HeroLight, hero_light
from render.images.passes.rungs import FIRST_RUNG
from render.images.tracing import Tracing
from render.shot import Shot
from render.shot_light import shot_light
from scenes.arrangement.resolving import ResolvedArrangement
from scenes.setups.place import Place
from scenes.setups.placed import PlacedSetup


def setup_light(arrangement: ResolvedArrangement, setup: str, tracing: Tracing) -> HeroLight:
    """Return a setup's light at the hero: what was measured for a sheet is reused."""
    (shot,) = shots_of(arrangement, [setup], [AS_BUILT], None)
    return hero_light(shot, tracing)


@dataclass(frozen=True)
class FrameExposure:
    """The exposure of a setup's frame, the illuminance that it is metered by, lx, and what that is read on."""

    chosen: ChosenExposure
    lux: float
    basis: str


def frame_exposure(light: HeroLight, tracing: Tracing) -> FrameExposure:
    """Return the exposure of the setup's frame; only one that is metered on the scene takes a draft of it."""
    if light.shot.camera.exposure == "scene":
        shot = shot_light(light.shot, tracing, FIRST_RUNG)
        return FrameExposure(shot.chosen_exposure, shot.metered_lux, shot.basis)
    return FrameExposure(light.chosen_exposure(), light.metered_lux, light.basis)


def key_of(light: HeroLight) -> int:
    """Return the number of the lamp that meters; without light, of the one that ratios count from."""
    return light.setup.reference if light.key is None else light.key


def distance_cm(setup: PlacedSetup, i: int) -> float:
    """Return the distance of lamp `i` from the hero's middle."""
    return float(np.linalg.norm(np.subtract(setup.lamps[i].place.at_cm, setup.hero_cm)))


def place_at(setup: PlacedSetup, i: int, to_cm: float) -> Place:
    """Return the place of lamp `i` on its line from the hero at a distance, turned as it is."""
    place, hero_cm = setup.lamps[i].place, np.asarray(setup.hero_cm)
    at = hero_cm + np.subtract(place.at_cm, hero_cm) * to_cm / distance_cm(setup, i)
    x, y, z = map(float, at)
    ax, ay, az = map(float, at + place.facing)
    return replace(place, at_cm=(x, y, z), aim_cm=(ax, ay, az))


def moved(light: HeroLight, i: int, to_cm: float) -> Shot:
    """Return the shot, its dimmers solved, with lamp `i` moved along its line from the hero to a distance."""
    setup = light.setup
    there = replace(setup.lamps[i], place=place_at(setup, i, to_cm))
    lamps = (*setup.lamps[:i], there, *setup.lamps[i + 1 :])
    return replace(light.shot, setup=replace(setup, lamps=lamps))
