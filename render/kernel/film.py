"""The film: which pixel each lane traces, primary rays, and images from the values of lanes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Camera

from .backend import mitsuba
from .opaque import opaque_float, opaque_integer, opaque_vector

TILE = 4  # pixels a side; consecutive lanes trace a tile, so that the rays of a packet stay close together


class Film:
    """The pixels of a camera, a lane each, tile by tile; lanes of tiles across the border may lie outside the image."""

    def __init__(self, camera: Camera) -> None:
        self.camera = camera
        across, down = (-(-size // TILE) for size in (camera.width, camera.height))
        self.lane_count = across * down * TILE * TILE
        self._tiles_across = across

    def lane_pixels(self) -> tuple[Any, Any, Any]:
        """Return the column and the row of each lane's pixel, and whether that is inside the image."""
        import drjit as dr

        mi = mitsuba()
        lane = dr.arange(mi.UInt32, self.lane_count)
        tile, inner = lane // (TILE * TILE), lane % (TILE * TILE)
        across = opaque_integer(self._tiles_across)
        column = tile % across * TILE + inner % TILE
        row = tile // across * TILE + inner // TILE
        width, height = map(opaque_integer, (self.camera.width, self.camera.height))
        return column, row, (column < width) & (row < height)

    def pixel_index(self, column: Any, row: Any) -> Any:
        """Return the index of a pixel, row by row."""
        return row * opaque_integer(self.camera.width) + column

    def images(self, values: Sequence[Any]) -> Iterator[NDArray[np.float32]]:
        """Yield values of lanes as (height, width) images, all evaluated by one program."""
        import drjit as dr

        mi = mitsuba()
        column, row, inside = self.lane_pixels()
        pixel = self.pixel_index(column, row)
        # one target per value: a second scatter to the same one would evaluate in between, and trace everything again
        planes = [dr.empty(mi.Float, self.camera.width * self.camera.height) for _ in values]
        for plane, value in zip(planes, values, strict=True):
            dr.scatter(plane, value, pixel, inside)
        dr.eval(planes)
        for plane in planes:
            yield np.array(plane, copy=None).reshape(self.camera.height, self.camera.width)

    def lanes_near(self, mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Return which lanes belong to a tile with a pixel of `mask`, (height, width), or to a neighbouring tile."""
        height, width = (-(-size // TILE) for size in mask.shape)
        padded = np.zeros((height * TILE, width * TILE), bool)
        padded[: mask.shape[0], : mask.shape[1]] = mask
        tiles = np.pad(padded.reshape(height, TILE, width, TILE).any(axis=(1, 3)), 1)
        dilated = np.any([tiles[y : y + height, x : x + width] for y in range(3) for x in range(3)], axis=0)
        return np.asarray(np.repeat(dilated.ravel(), TILE * TILE))

    def ray_generator(self) -> Callable[[Any, Any], tuple[Any, Any]]:
        """Return a function from a position on the image, in pixels, to the origin and direction of its ray."""
        import drjit as dr

        camera = self.camera
        right, up, forward = map(opaque_vector, camera.axes.T)
        origin = opaque_vector(camera.at)
        pixel_size = 2.0 * camera.tan_half_height / camera.height
        centre_x, centre_y, pixel = map(opaque_float, (camera.width / 2, camera.height / 2, pixel_size))

        def primary_ray(x: Any, y: Any) -> tuple[Any, Any]:
            return origin, dr.normalize(forward + right * ((x - centre_x) * pixel) + up * ((centre_y - y) * pixel))

        return primary_ray
