"""The camera in the kernel: which pixel a lane has, and the ray through a point of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera

from .backend import mitsuba

TILE = 4  # lanes go through the picture in squares, so that those of a packet meet the same things


class Film:
    """The pixels of a camera as lanes."""

    def __init__(self, camera: Camera) -> None:
        self.camera = camera
        across, down = (-(-n // TILE) for n in (camera.width, camera.height))
        self.lanes = across * down * TILE * TILE
        self._tiles_across = across

    def pixels(self) -> tuple[Any, Any, Any]:
        """Return the column and row of every lane, and which lanes are pixels at all."""
        import drjit as dr

        mi = mitsuba()
        lane = dr.arange(mi.UInt32, self.lanes)
        tile, inner = lane // (TILE * TILE), lane % (TILE * TILE)
        across = dr.opaque(mi.UInt32, self._tiles_across)
        column = tile % across * TILE + inner % TILE
        row = tile // across * TILE + inner // TILE
        width, height = (dr.opaque(mi.UInt32, n) for n in (self.camera.width, self.camera.height))
        return column, row, (column < width) & (row < height)

    def pictures(self, values: Sequence[Any]) -> Iterator[NDArray[np.float32]]:
        """Yield lane arrays as (height, width) pictures, all evaluated by one kernel."""
        import drjit as dr

        mi = mitsuba()
        column, row, inside = self.pixels()
        pixel = row * dr.opaque(mi.UInt32, self.camera.width) + column
        # one target each: scattering twice to the same would evaluate in between, and trace everything again
        planes = [dr.empty(mi.Float, self.camera.width * self.camera.height) for _ in values]
        for plane, value in zip(planes, values, strict=True):
            dr.scatter(plane, value, pixel, inside)
        dr.eval(planes)
        for plane in planes:
            yield np.array(plane, copy=None).reshape(self.camera.height, self.camera.width)

    def by_tile(self, is_any: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Return for each lane whether anything in its tile, or in the tiles around it, is marked."""
        height, width = (-(-n // TILE) for n in is_any.shape)
        whole = np.zeros((height * TILE, width * TILE), bool)
        whole[: is_any.shape[0], : is_any.shape[1]] = is_any
        tiles = np.pad(whole.reshape(height, TILE, width, TILE).any(axis=(1, 3)), 1)
        around = np.any([tiles[y : y + height, x : x + width] for y in range(3) for x in range(3)], axis=0)
        return np.asarray(np.repeat(around.ravel(), TILE * TILE))

    def rays(self) -> Any:
        """Return a function from places on the picture, in pixels, to the origin and direction of their rays."""
        import drjit as dr

        mi = mitsuba()
        camera = self.camera
        scale = 2.0 * camera.tan_half_height / camera.height
        right, up, into = (mi.Vector3f(*(dr.opaque(mi.Float, float(v)) for v in axis)) for axis in camera.axes.T)
        origin = mi.Vector3f(*(dr.opaque(mi.Float, float(v)) for v in camera.at))
        left, top, pixel = (dr.opaque(mi.Float, float(v)) for v in (camera.width / 2, camera.height / 2, scale))

        def ray(x: Any, y: Any) -> tuple[Any, Any]:
            return origin, dr.normalize(into + right * ((x - left) * pixel) + up * ((top - y) * pixel))

        return ray
