"""What the rounds to come will cost, until no frame has more grain than is wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from .allotment import FrameShares, ImageState, allot, spent
from .schedule import GROWTH

FALL: Final = 0.8
"""Power of its passes by which the mean square error of a frame as shown falls, as measured on the demo; that of noise
alone falls by 1.
"""
MOST_ROUNDS: Final = 80
"""These cost ten thousand times what was spent before."""


def cost_at_grain(
    images: Sequence[ImageState], grains: Sequence[float], frames: Sequence[FrameShares], wanted: float
) -> float:
    """Return about what all passes will have cost once no frame has more grain than `wanted`, or MOST_ROUNDS later.

    Parameters
    ----------
    images
        How far each is.
    grains, frames
        Of each frame, its grain and how much of the square of it each image brings.
    """
    squares = [grain**2 for grain in grains]
    for _ in range(MOST_ROUNDS):
        if max(squares, default=0.0) <= wanted**2:
            return spent(images)
        planned = allot(images, frames, GROWTH * spent(images))
        fallen = [(image.passes / passes) ** FALL for image, passes in zip(images, planned, strict=True)]
        later = [{number: share * fallen[number] for number, share in frame.items()} for frame in frames]
        squares = [
            square * sum(after.values()) / total if (total := sum(before.values())) else square
            for square, before, after in zip(squares, frames, later, strict=True)
        ]
        images, frames = [replace(image, passes=p) for image, p in zip(images, planned, strict=True)], later
    return spent(images)
