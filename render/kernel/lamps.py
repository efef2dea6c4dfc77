"""Lamps of flat unit radiance as the kernel meets them: a direction to each from a point, and what a ray sees of it.

Lamps are light only: rays pass through their bodies. Numbers go in opaque, so that moving a lamp compiles nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from render.description import Lamp

from .backend import mitsuba
from .scene import Ray


@dataclass(frozen=True)
class Aim:
    """A point drawn on a lamp, and the density of its direction per steradian, infinite where no light comes from."""

    point: Any
    density: Any


class Light(Protocol):
    """A lamp in the kernel. One whose light varies over its face or with direction weighs it in both answers."""

    def aim(self, at: Any, u: Any, v: Any) -> Aim | None:
        """Return a point drawn for the place `at`; None: rays that are drawn for other reasons find this light."""

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return whether a ray sees its lit side, and the density with which `aim` would draw that direction."""


COUNTS = (1, 2, 4, 8)
DARK = Lamp("panel", np.zeros(3), np.eye(3), (0.0, 0.0))


def lights(lamps: Sequence[Lamp]) -> list[Light]:
    """Return lamps as the kernel meets them, and dark ones after them up to one of a few counts.

    Another number of lamps is another program to compile; 8 are the most.
    """
    kinds: dict[str, Any] = {"panel": Panel, "disc": Disc, "bulb": Bulb, "room": Room}
    count = next(count for count in COUNTS if count >= len(lamps))
    return [kinds[lamp.kind](lamp) for lamp in (*lamps, *[DARK] * (count - len(lamps)))]


def faces(cosine: Any) -> Any:
    """Return whether light leaves a face at an angle of this cosine to its normal."""
    return cosine > 0.0


class Panel:
    """A rectangle that shines from its front, sampled by area."""

    def __init__(self, lamp: Lamp) -> None:
        self.at, self.width_axis, self.height_axis, self.normal = map(_vector, (lamp.at, *lamp.axes.T))
        self.half_width, self.half_height, self.area = map(_number, (*lamp.half, lamp.etendue / np.pi))

    def aim(self, at: Any, u: Any, v: Any) -> Aim:
        """Return a point spread evenly over the face."""
        import drjit as dr

        x, y = self._spread(u, v)
        point = self.at + self.width_axis * (x * self.half_width) + self.height_axis * (y * self.half_height)
        away = at - point
        return Aim(
            point, self._density(dr.squared_norm(away), dr.dot(away, self.normal) * dr.rsqrt(dr.squared_norm(away)))
        )

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return whether a ray meets the front, and the density of its direction."""
        import drjit as dr

        cosine = -dr.dot(ray.direction, self.normal)
        offset = ray.origin - self.at
        reach = dr.dot(offset, self.normal) / cosine
        met = offset + ray.direction * reach
        inside = self._holds(
            dr.dot(met, self.width_axis) / self.half_width, dr.dot(met, self.height_axis) / self.half_height
        )
        hit = inside & faces(cosine) & (reach > 0.0) & (reach < ray.distance)
        return hit, self._density(reach * reach, cosine)

    def _density(self, square: Any, cosine: Any) -> Any:
        import drjit as dr

        return dr.select(faces(cosine), square / (self.area * dr.abs(cosine)), dr.inf)

    def _spread(self, u: Any, v: Any) -> tuple[Any, Any]:
        return 2.0 * u - 1.0, 2.0 * v - 1.0

    def _holds(self, x: Any, y: Any) -> Any:
        import drjit as dr

        return dr.maximum(dr.abs(x), dr.abs(y)) <= 1.0


class Disc(Panel):
    """A disc that shines from its front, sampled by area."""

    def _spread(self, u: Any, v: Any) -> tuple[Any, Any]:
        x, y = mitsuba().warp.square_to_uniform_disk_concentric(mitsuba().Point2f(u, v))
        return x, y

    def _holds(self, x: Any, y: Any) -> Any:
        return x * x + y * y <= 1.0


class Bulb:
    """A sphere, sampled by the cone in which a point outside sees it."""

    def __init__(self, lamp: Lamp) -> None:
        self.at, self.radius = _vector(lamp.at), _number(lamp.half[0])

    def aim(self, at: Any, u: Any, v: Any) -> Aim:
        """Return a point spread evenly over the visible cone."""
        import drjit as dr

        mi = mitsuba()
        to_centre = self.at - at
        far = dr.norm(to_centre)
        spread = self._spread(far)
        # 1 - cosine of the angle off the axis, exact for small bulbs far away
        fall = u * spread
        sine_2 = fall * (2.0 - fall)
        cosine = 1.0 - fall
        reach = far * cosine - dr.safe_sqrt(self.radius * self.radius - far * far * sine_2)
        sine, turn = dr.sqrt(sine_2), dr.two_pi * v
        local = mi.Vector3f(sine * dr.cos(turn), sine * dr.sin(turn), cosine)
        point = at + mi.Frame3f(to_centre / far).to_world(local) * reach
        return Aim(point, self._density(far, spread))

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return whether a ray from outside meets it, and the density of its direction."""
        import drjit as dr

        to_centre = self.at - ray.origin
        along = dr.dot(to_centre, ray.direction)
        short = self.radius * self.radius - dr.squared_norm(to_centre - ray.direction * along)
        reach = along - dr.safe_sqrt(short)
        far = dr.norm(to_centre)
        return (short >= 0.0) & (reach > 0.0) & (reach < ray.distance), self._density(far, self._spread(far))

    def _spread(self, far: Any) -> Any:
        """Return 1 - cosine of the half angle of the cone."""
        import drjit as dr

        sine_2 = dr.minimum(dr.square(self.radius / far), 1.0)
        return sine_2 / (1.0 + dr.sqrt(1.0 - sine_2))

    def _density(self, far: Any, spread: Any) -> Any:
        import drjit as dr

        return dr.select(far > self.radius, dr.inv_two_pi / spread, dr.inf)


class Room:
    """Light from all round: a ray that meets nothing sees it, and no direction is better than the path's own."""

    def __init__(self, lamp: Lamp) -> None:
        pass

    def aim(self, at: Any, u: Any, v: Any) -> None:
        """Return None."""

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return whether a ray meets nothing."""
        return ~ray.ends, mitsuba().Float(0.0)


def _number(value: float) -> Any:
    import drjit as dr

    return dr.opaque(mitsuba().Float, float(value))


def _vector(values: Any) -> Any:
    return mitsuba().Vector3f(*(_number(v) for v in values))
