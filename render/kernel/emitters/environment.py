"""Light from all round: the room's."""

from __future__ import annotations

from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.surface_point import RaySegment


class Environment:
    """Uniform radiance from every direction, received by rays that hit nothing.

    It has no samples of its own: no direction is better than those that the BSDF samples.
    """

    def sample(self, position: Any, u: Any, v: Any) -> None:
        """Return None."""

    def evaluate(self, segment: RaySegment) -> tuple[Any, Any]:
        """Return the radiance of a ray that hits nothing, and a density of 0."""
        import drjit as dr

        return dr.select(segment.hits, mitsuba().Float(0.0), 1.0), mitsuba().Float(0.0)
