"""Light from all round: the room's."""

from __future__ import annotations

from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.surface_point import RaySegment

UNSAMPLED_PDF = 1e-10
"""Far below the density of any direction that a BSDF samples, so that those have a MIS weight of 1; far above a meter's
negligible one, so that a meter's own ray has 0: what comes straight to a meter is counted as direct light.
"""


class Environment:
    """Uniform radiance from every direction, received by rays that hit nothing.

    It has no samples of its own: no direction is better than those that the BSDF samples.
    """

    def sample(self, position: Any, u: Any, v: Any) -> None:
        """Return None."""

    def evaluate(self, segment: RaySegment) -> tuple[Any, Any]:
        """Return the radiance of a ray that hits nothing, and a density that is as good as 0."""
        import drjit as dr

        mi = mitsuba()
        return dr.select(segment.hits, mi.Float(0.0), 1.0), mi.Float(UNSAMPLED_PDF)
