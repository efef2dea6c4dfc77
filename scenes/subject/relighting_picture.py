"""A picture multiplied by gains that are given at the corners of the triangles that it covers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from materials.colour.srgb import srgb_decode, srgb_encode

LARGEST_MAP = 2048
"""Of the map of gains, pixels a side."""
POINTS_AT_ONCE = 2_000_000
_FINEST = 11
"""Powers of two of points along a side of a triangle."""


def with_gains(
    picture: NDArray[np.uint8], corners: Sequence[NDArray[np.float32]], gains: Sequence[NDArray[np.float32]]
) -> tuple[NDArray[np.uint8], float]:
    """Return a picture (height, width, 3) times what triangles ask for, and the share of their places that is clipped.

    `corners` are the places (m, 3, 2) of their corners in it, as in `Paint`, `gains` (m, 3) what each asks for.
    """
    step = -(-max(picture.shape[:2]) // LARGEST_MAP)
    height, width = (-(-side // step) for side in picture.shape[:2])
    total, count = np.zeros(height * width), np.zeros(height * width)
    for places, values in zip(corners, gains, strict=True):
        for pixel, gain in _sampled_gains(places.astype(np.float64) * [width, height], values, width, height):
            total += np.bincount(pixel, gain, minlength=len(total))
            count += np.bincount(pixel, minlength=len(count))
    covered = (count > 0).reshape(height, width)
    gain = _with_nearest_known((total / np.maximum(count, 1)).reshape(height, width), covered)
    found, over, seen = np.empty_like(picture), 0, 0
    columns = np.arange(picture.shape[1]) // step
    for row in range(picture.shape[0]):
        light = srgb_decode(picture[row] / 255) * gain[row // step, columns, None]
        over += int(((light > 1).any(axis=1) & covered[row // step, columns]).sum())
        seen += int(covered[row // step, columns].sum())
        found[row] = np.rint(255 * srgb_encode(np.clip(light, 0.0, 1.0)))
    return found, over / max(seen, 1)


def _sampled_gains(
    corners: NDArray[np.float64], gains: NDArray[np.float32], width: int, height: int
) -> Iterator[tuple[NDArray[np.int64], NDArray[np.float64]]]:
    """Yield pixel indices and gains at points over triangles (m, 3, 2), at most half a pixel apart."""
    sides = np.abs(corners - np.roll(corners, 1, axis=1)).max(axis=(1, 2))
    level = np.clip(np.ceil(np.log2(np.maximum(2 * sides, 1.0))), 0, _FINEST).astype(int)
    for power in np.unique(level):
        share = _barycentric_grid(2**power)
        chosen = np.flatnonzero(level == power)
        for some in np.array_split(chosen, -(-len(chosen) * len(share) // POINTS_AT_ONCE)):
            x, y = np.einsum("pc,mcx->xmp", share, corners[some])
            row = height - 1 - np.floor(y).astype(np.int64) % height
            pixel = row * width + np.floor(x).astype(np.int64) % width
            yield pixel.reshape(-1), (gains[some].astype(np.float64) @ share.T).reshape(-1)


def _barycentric_grid(steps: int) -> NDArray[np.float64]:
    """Return barycentric coordinates (p, 3) of points spread evenly over a triangle."""
    i, j = np.meshgrid(np.arange(steps), np.arange(steps), indexing="ij")
    inside = i + j < steps
    a, b = (i[inside] + 1 / 3) / steps, (j[inside] + 1 / 3) / steps
    return np.stack([a, b, 1 - a - b], axis=1)


def _with_nearest_known(values: NDArray[np.float64], known: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return values, each unknown one replaced by the nearest known one, since interpolation reads beyond triangles."""
    from scipy.ndimage import distance_transform_edt

    if known.all() or not known.any():
        return np.where(known, values, 1.0)
    nearest = distance_transform_edt(~known, return_distances=False, return_indices=True)
    return np.asarray(values[tuple(nearest)])
