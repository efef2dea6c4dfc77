"""What the integrator asks of an emitter: samples for next-event estimation, and the radiance along a ray."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

from render.kernel.surface_point import RaySegment


@dataclass(frozen=True)
class EmitterSample:
    """A point on an emitter, its radiance towards the place it was sampled for, and the density of its direction, 1/sr.

    The density is infinite where the emitter sends no light that way.
    """

    point: Any
    radiance: Any
    pdf: Any


class Emitter(Protocol):
    """A lamp of flat unit spectral radiance, or relative to that where its radiance varies with direction.

    Emitters are no surfaces: rays go through them.
    """

    def sample(self, position: Any, u: Any, v: Any) -> EmitterSample | None:
        """Return a sample for a position; None for an emitter that only rays of the path find."""

    def evaluate(self, segment: RaySegment) -> tuple[Any, Any]:
        """Return the radiance that a ray receives, 0 where it misses the lit side, and the density (1/sr) of `sample`.

        The density is that of the ray's direction, if it were sampled for the ray's origin.
        """
