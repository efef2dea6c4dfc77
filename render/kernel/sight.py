"""What a ray sees of a scene with see-through surfaces: the first surface that is there, and the first not clear."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from render.kernel.surfaces.bsdf_table import BsdfTable

from .backend import mitsuba
from .loops import while_loop
from .sampler import Sampler
from .scene import Scene
from .surface_point import SurfacePoint

MOST_SURFACES = 64
"""Surfaces along a ray that are looked through."""


@dataclass
class Sight:
    """A surface point along a ray and its distance (m), infinite where the ray sees nothing."""

    point: SurfacePoint
    distance: Any

    @property
    def hits(self) -> Any:
        """Whether it sees a surface."""
        import drjit as dr

        return self.distance < dr.inf


def first_seen(scene: Scene, bsdfs: BsdfTable, hit: Sight, sampler: Sampler) -> tuple[Sight, Sight]:
    """Return what a ray sees that hits a scene first at `hit`: the first surface there is, and the first not clear.

    A surface with an opacity is there with that probability.
    """
    import drjit as dr

    mi = mitsuba()

    def look_through(
        number: Any, hit: Sight, first: Sight, is_seen: Any, going: Any
    ) -> tuple[Any, Sight, Sight, Any, Any]:
        surface = dr.gather(mi.UInt32, scene.surface_of_triangle, hit.point.triangle, going)
        is_hole = mi.Bool(False)
        if bsdfs.opacities is not None:
            opacity = bsdfs.opacities.lookup(hit.point, surface, going)
            is_hole = sampler.sample_2d(number + 1)[0] >= opacity
        is_first = going & ~is_hole & ~is_seen
        first = dr.select(is_first, hit, first)
        going = going & (is_hole | bsdfs.is_clear(surface, going)) & (number < MOST_SURFACES)
        direction = -hit.point.outgoing
        origin = hit.point.straight_origin(direction, is_hole)
        point, segment = scene.all_surfaces.intersect(origin, direction, going)
        beyond = Sight(point, hit.distance + segment.t_max)
        hit = dr.select(going, beyond, hit)
        return number + 1, hit, first, is_seen | is_first, going & segment.hits

    start = (mi.UInt32(0), hit, Sight(hit.point, mi.Float(dr.inf)), ~hit.hits, hit.hits)
    _, body, first, _, _ = while_loop(start, lambda *state: state[-1], look_through, label="see-through surfaces")
    return first, body
