"""Lamp images while they are traced: sums over passes, in two independent halves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera
from render.images.bands import PLANE_COUNT
from render.images.lamp_images import LampImage, Plane

from .sealing import SealedImage

Sums: TypeAlias = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class PassSums(LampImage):
    """A lamp image as sums over passes, in two independent halves.

    Parameters
    ----------
    even, odd : (planes, height, width)
        Sums of the passes of even and of odd number.
    even_passes, odd_passes
        Number of passes in each.
    group
        Lamps of one group were traced by the same paths, so their noise is correlated.
    earlier
        A sealed image that the sums go on from: the numbers of their passes begin where its own end.
    """

    even: Sums
    odd: Sums
    even_passes: int = 0
    odd_passes: int = 0
    group: int = 0
    earlier: SealedImage | None = None

    @classmethod
    def empty(cls, camera: Camera, group: int, earlier: SealedImage | None = None) -> PassSums:
        """Return sums of no pass."""
        zeros = np.zeros((PLANE_COUNT, camera.height, camera.width), np.float32)
        return cls(zeros, zeros, group=earlier.group if earlier else group, earlier=earlier)

    @property
    def earlier_passes(self) -> int:
        """Number of passes of the sealed image."""
        return self.earlier.passes if self.earlier else 0

    @property
    def passes(self) -> int:
        """Number of passes, those of the sealed image included."""
        return self.earlier_passes + self.even_passes + self.odd_passes

    def with_passes(self, number: int, image: Sums, count: int = 1) -> PassSums:
        """Return the sums with the sum of `count` passes of one half added, from pass `number` on.

        The array of `image` is taken over, and may be written to: it is large.
        """
        if number % 2:
            odd = np.add(self.odd, image, out=image) if self.odd_passes else image
            return replace(self, odd=odd, odd_passes=self.odd_passes + count)
        even = np.add(self.even, image, out=image) if self.even_passes else image
        return replace(self, even=even, even_passes=self.even_passes + count)

    def next_passes(self, passes: int, together: int) -> range:
        """Return the numbers of the passes of one half to trace next, towards `passes` passes in all.

        A round is `together` passes of both halves. One that was stopped between the halves is completed first, so
        that the sums are those of a trace without interruption, bit for bit.
        """
        first = self.earlier_passes
        next_even = first + first % 2 + 2 * self.even_passes
        next_odd = first + (first + 1) % 2 + 2 * self.odd_passes
        start, other = sorted((next_even, next_odd))
        end = other if other - start > 1 else start + together
        return range(start, min(end, passes), 2)

    def plane(self, number: int) -> Plane:
        """Return the mean of all passes of a plane."""
        total: Plane = self.even[number] + self.odd[number]
        if self.earlier:
            total += self.earlier.plane(number) * np.float32(self.earlier.passes)
        total /= np.float32(self.passes)
        return total


def sums_bytes(camera: Camera) -> int:
    """Return the memory that the sums of a lamp image take."""
    return 2 * 4 * PLANE_COUNT * camera.width * camera.height
