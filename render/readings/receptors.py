"""Incident light meters at the hero, and the bare table that they read: sheet and cards, the model lifted away.

A flat receptor faces each lamp, and one the camera. Each is on the line from the hero, where that line leaves the
model: neither a hat's brim nor the model's own shadow is metered, nor does its paint light the meter.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from materials.arrays import Vector
from render.description.scene import Camera, Geometry, Meter, meter_at
from scenes.lifelong_cache import cached_for_life
from scenes.setups.placed import PlacedSetup
from scenes.subject.enclosure import hit_distances_cm, parts_about
from scenes.subject.subject import Subject

NO_CAMERA: Final = Camera(np.zeros(3), np.eye(3), 1.0, 4, 4)
"""Of a geometry that is metered and not seen: the same for every frame."""
NEAREST_CM: Final = 1e-6
"""Two points that are nearer define no direction."""


def bare_geometry(geometry: Geometry) -> Geometry:
    """Return the sheet and the cards of a geometry without the model, the same for any paint, frame and close-up."""
    return Geometry(tuple(s for s in geometry.surfaces if s.kind != "subject"), NO_CAMERA)


def receptors_of(setup: PlacedSetup) -> tuple[Meter, ...]:
    """Return a receptor facing each lamp of a setup, in their order, then the one facing the camera."""
    centres = [*(lamp.place.at_cm for lamp in setup.lamps), setup.view.at_cm]
    return tuple(receptor_facing(centre, setup) for centre in centres)


def receptor_facing(centre_cm: ArrayLike, setup: PlacedSetup) -> Meter:
    """Return a point receptor facing a point (3,), cm, where the line to it from the hero last leaves the model.

    Without a model, and where the line crosses none of it, the receptor is at the hero.
    """
    x, y, z = np.asarray(centre_cm, dtype=float).tolist()
    if setup.subject is None:
        return _receptor(None, (x, y, z), setup.hero_cm)
    return _kept_receptor(setup.subject, (x, y, z), setup.hero_cm)


def _receptor(
    subject: Subject | None, centre_cm: tuple[float, float, float], hero_cm: tuple[float, float, float]
) -> Meter:
    """Return the receptor at a hero that faces a point."""
    hero = np.asarray(hero_cm, dtype=float)
    line = np.asarray(centre_cm) - hero
    distance = float(np.linalg.norm(line))
    if distance < NEAREST_CM:
        return meter_at(hero, (0.0, 0.0, 1.0))
    ray = line / distance
    return meter_at(hero + exit_cm(subject, hero, ray, distance) * ray, ray)


_kept_receptor = cached_for_life(_receptor)
"""It is the same for any dimmers and for all setups of one camera."""


def exit_cm(subject: Subject | None, origin_cm: ArrayLike, ray: ArrayLike, limit_cm: float) -> float:
    """Return how far from a point (3,) a unit ray (3,) crosses the model's surface last before a limit, cm; else 0."""
    origin, along = np.asarray(origin_cm, dtype=float), np.asarray(ray, dtype=float)
    distances = _distances(subject, origin, along) if subject else ()
    return max((d for d in distances if 0.0 < d < limit_cm), default=0.0)


def _distances(subject: Subject, origin: Vector, ray: Vector) -> Iterator[float]:
    for part in parts_about(subject, origin, ray):
        yield from hit_distances_cm(part, origin, ray).tolist()
