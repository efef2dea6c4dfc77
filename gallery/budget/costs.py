"""What frames cost, in seconds of two cores of a desk, whose pace is then measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from render.shot import Shot

FRAME_COST, GAIN_COST = 0.75, 1.35
"""Of a frame and of denoising a lamp image, a megapixel of it."""
LEAST_COST: Final = 0.05
"""Of either, however small it is."""


def frame_costs(shots: Sequence[Shot]) -> list[float]:
    """Return the cost of taking the frame of each shot; a lamp image is denoised for the first that has it."""
    costs, denoised = [], set[tuple[str, str]]()
    for shot in shots:
        images = {(shot.geometry.fingerprint, lamp.fingerprint) for lamp in shot.emitter_shapes}
        new = len(images - denoised)
        costs.append(LEAST_COST * (1 + new) + shot.geometry.camera.megapixels * (FRAME_COST + GAIN_COST * new))
        denoised |= images
    return costs
