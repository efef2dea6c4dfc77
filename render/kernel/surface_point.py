"""Rays, the surface points where they hit, and local coordinates there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .backend import mitsuba

OFFSET = 150 * 2.0**-24  # of a ray's origin along the normal, relative to 1 m: a hundredth of a millimetre
NEAR_OFFSET = 16 * 2.0**-24  # behind a hole: a decal may lie thousandths of a millimetre before what it is on


@dataclass
class RaySegment:
    """A ray between the distances `t_min` and `t_max` (m); `t_max` is infinite where it hits nothing."""

    origin: Any
    direction: Any
    t_max: Any
    t_min: Any = 0.0

    @property
    def hits(self) -> Any:
        """Whether the ray hits a surface, at `t_max`."""
        import drjit as dr

        return self.t_max < dr.inf


@dataclass
class SurfacePoint:
    """A point of a surface that a ray hits.

    Its position (m), geometric normal, shading normal, the direction `outgoing` back along the ray, the index of its
    triangle, and the barycentric coordinates of the triangle's second and third corner.
    """

    position: Any
    normal: Any
    shading_normal: Any
    outgoing: Any
    triangle: Any
    barycentric: Any

    def ray_origin(self, direction: Any) -> Any:
        """Return the origin of a ray that leaves in a direction, offset so that it does not hit the surface itself."""
        import drjit as dr

        size = (1.0 + dr.max(dr.abs(self.position))) * OFFSET
        return dr.fma(self.normal, dr.select(dr.dot(self.normal, direction) < 0.0, -size, size), self.position)

    def straight_origin(self, direction: Any, is_near: Any) -> Any:
        """Return the origin of a ray that goes straight on; where `is_near`, so near that it misses nothing behind."""
        import drjit as dr

        size = (1.0 + dr.max(dr.abs(self.position))) * dr.select(is_near, NEAR_OFFSET, OFFSET)
        return dr.fma(self.normal, dr.select(dr.dot(self.normal, direction) < 0.0, -size, size), self.position)


class ShadingFrame:
    """Local coordinates at a surface point, with z along the shading normal, on the side of `outgoing`.

    So surfaces are the same from both sides.
    """

    def __init__(self, point: SurfacePoint) -> None:
        import drjit as dr

        self.frame = mitsuba().Frame3f(point.shading_normal)
        self.sign = dr.select(dr.dot(point.shading_normal, point.outgoing) < 0.0, -1.0, 1.0)

    def to_local(self, direction: Any) -> Any:
        """Return a direction of the scene in local coordinates."""
        local = self.frame.to_local(direction)
        local.z *= self.sign
        return local

    def to_world(self, direction: Any) -> Any:
        """Return a direction of local coordinates in those of the scene."""
        return self.frame.to_world(mitsuba().Vector3f(direction.x, direction.y, direction.z * self.sign))
