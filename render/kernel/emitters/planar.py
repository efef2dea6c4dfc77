"""Lamps of flat unit radiance as the kernel meets them: a direction to each from a point, and what a ray sees of it.

Lamps are light only: rays pass through their bodies. Numbers go in opaque, so that moving a lamp compiles nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from render.description.scene import Lamp
from render.kernel.backend import mitsuba
from render.kernel.scene import Ray


@dataclass(frozen=True)
class Aim:
    """A point drawn on a lamp, the radiance that comes from there, and the density of its direction per steradian.

    The density is infinite where no light comes from.
    """

    point: Any
    radiance: Any
    density: Any


class Light(Protocol):
    """A lamp in the kernel; its radiance is relative to that of an even lamp."""

    def aim(self, at: Any, u: Any, v: Any) -> Aim | None:
        """Return a point drawn for the place `at`; None: rays that are drawn for other reasons find this light."""

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return the radiance that a ray sees, 0 off its lit side, and the density with which `aim` would draw it."""


COUNTS = (1, 2, 4, 8)
DARK = Lamp("panel", np.array([0.0, 0.0, -1e3]), np.diag([1.0, -1.0, -1.0]), (1.0, 1.0))
"""Faces away from everything, so that no ray is spent on it."""


def lights(lamps: Sequence[Lamp]) -> list[Light]:
    """Return lamps as the kernel meets them, and dark ones after them up to one of a few counts.

    Another number of lamps is another program to compile; 8 are the most.
    """
    kinds: dict[str, Any] = {"panel": Panel, "disc": Disc, "ring": Ring, "bulb": Bulb, "room": Room}
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
        self.intensity = None if lamp.intensity is None else Intensity(lamp.intensity)

    def aim(self, at: Any, u: Any, v: Any) -> Aim:
        """Return a point spread evenly over the face."""
        import drjit as dr

        x, y = self._spread(u, v)
        point = self.at + self.width_axis * (x * self.half_width) + self.height_axis * (y * self.half_height)
        away = at - point
        square = dr.squared_norm(away)
        leaving = self._turned(away) * dr.rsqrt(square)
        return Aim(point, self._radiance(leaving), self._density(square, leaving.z))

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return the radiance of the front where a ray meets it, and the density of its direction."""
        import drjit as dr

        leaving = -self._turned(ray.direction)
        offset = self._turned(ray.origin - self.at)
        reach = offset.z / leaving.z
        met = offset - leaving * reach
        inside = self._holds(met.x / self.half_width, met.y / self.half_height)
        hit = inside & faces(leaving.z) & (reach > ray.near) & (reach < ray.distance)
        return dr.select(hit, self._radiance(leaving), 0.0), self._density(reach * reach, leaving.z)

    def _turned(self, direction: Any) -> Any:
        """Return a direction of the scene along width, height and normal."""
        import drjit as dr

        axes = (self.width_axis, self.height_axis, self.normal)
        return mitsuba().Vector3f(*(dr.dot(direction, axis) for axis in axes))

    def _radiance(self, leaving: Any) -> Any:
        import drjit as dr

        return 1.0 if self.intensity is None else self.intensity.at(leaving) / dr.maximum(leaving.z, 1e-6)

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


class Ring(Panel):
    """A disc with a hole in it, sampled by area."""

    def __init__(self, lamp: Lamp) -> None:
        super().__init__(lamp)
        self.half_height = self.half_width
        self.hole_2 = _number((lamp.half[1] / lamp.half[0]) ** 2)

    def _spread(self, u: Any, v: Any) -> tuple[Any, Any]:
        import drjit as dr

        radius, turn = dr.sqrt(dr.lerp(self.hole_2, 1.0, u)), dr.two_pi * v
        return radius * dr.cos(turn), radius * dr.sin(turn)

    def _holds(self, x: Any, y: Any) -> Any:
        square = x * x + y * y
        return (square >= self.hole_2) & (square <= 1.0)


class Bulb:
    """A sphere, sampled by the cone in which a point outside sees it."""

    def __init__(self, lamp: Lamp) -> None:
        self.at, self.radius = _vector(lamp.at), _number(lamp.half[0])
        self.axes = [_vector(axis) for axis in lamp.axes.T]
        self.intensity = None if lamp.intensity is None else Intensity(lamp.intensity)

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
        towards = mi.Frame3f(to_centre / far).to_world(local)
        return Aim(at + towards * reach, self._radiance(-towards), self._density(far, spread))

    def seen(self, ray: Ray) -> tuple[Any, Any]:
        """Return its radiance where a ray from outside meets it, and the density of its direction."""
        import drjit as dr

        to_centre = self.at - ray.origin
        along = dr.dot(to_centre, ray.direction)
        short = self.radius * self.radius - dr.squared_norm(to_centre - ray.direction * along)
        reach = along - dr.safe_sqrt(short)
        far = dr.norm(to_centre)
        hit = (short >= 0.0) & (reach > ray.near) & (reach < ray.distance)
        return dr.select(hit, self._radiance(-ray.direction), 0.0), self._density(far, self._spread(far))

    def _radiance(self, leaving: Any) -> Any:
        import drjit as dr

        if self.intensity is None:
            return 1.0
        return self.intensity.at(mitsuba().Vector3f(*(dr.dot(leaving, axis) for axis in self.axes)))

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
        """Return the light of a ray that meets nothing."""
        import drjit as dr

        return dr.select(ray.ends, mitsuba().Float(0.0), 1.0), mitsuba().Float(0.0)


class Intensity:
    """Relative intensity by direction, a table that lanes look up, linear between its rows and columns."""

    def __init__(self, table: Any) -> None:
        closed = np.broadcast_to(table, (len(table), max(2, table.shape[1])))
        rows, columns = closed.shape
        values = np.stack([closed[:, :-1], closed[:, 1:]], axis=-1)
        self._pairs = mitsuba().Float(np.ascontiguousarray(values, dtype=np.float32).ravel())
        self._rows, self._columns = _number(rows - 1), _number(columns - 1)

    def at(self, leaving: Any) -> Any:
        """Return it for a direction along the lamp's width, height and facing axis."""
        import drjit as dr

        mi = mitsuba()
        polar = dr.atan2(dr.sqrt(leaving.x * leaving.x + leaving.y * leaving.y), leaving.z)
        turn = dr.atan2(leaving.y, leaving.x) * dr.inv_two_pi
        row = polar * dr.inv_pi * self._rows
        column = (turn - dr.floor(turn)) * self._columns
        upper = dr.minimum(dr.floor(row), self._rows - 1.0)
        left = dr.minimum(dr.floor(column), self._columns - 1.0)
        cell = mi.UInt32(upper * self._columns + left)
        first, second = dr.gather(mi.Vector2f, self._pairs, cell)
        low = dr.lerp(first, second, column - left)
        first, second = dr.gather(mi.Vector2f, self._pairs, cell + mi.UInt32(self._columns))
        return dr.lerp(low, dr.lerp(first, second, column - left), row - upper)


def _number(value: float) -> Any:
    import drjit as dr

    return dr.opaque(mitsuba().Float, float(value))


def _vector(values: Any) -> Any:
    return mitsuba().Vector3f(*(_number(v) for v in values))
