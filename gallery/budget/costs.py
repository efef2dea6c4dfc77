"""What frames cost: in seconds of two cores of a desk, whose pace is then measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from render.shot import Shot

FRAME_COST, GAIN_COST = 0.8, 1.2
"""Of a megapixel: of a frame, and of denoising a lamp image of it."""
PASS_COST: Final = 1.5
"""Of a pass of a lamp image, a megapixel of it, together with other lamps."""


def frame_costs(shots: Sequence[Shot]) -> list[float]:
    """Return the cost of taking the frame of each shot; a lamp image is denoised for the first that has it."""
    costs, denoised = [], set[tuple[str, str]]()
    for shot in shots:
        images = {(shot.geometry.fingerprint, lamp.fingerprint) for lamp in shot.emitter_shapes}
        costs.append(megapixels(shot) * (FRAME_COST + GAIN_COST * len(images - denoised)))
        denoised |= images
    return costs


def megapixels(shot: Shot) -> float:
    """Return the size of a shot's frame."""
    return shot.geometry.camera.width * shot.geometry.camera.height / 1e6
