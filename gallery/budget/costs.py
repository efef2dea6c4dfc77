"""What frames and passes cost, before their pace is measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from render.shot import Shot

FRAME_COST, GAIN_COST = 0.8, 1.2
"""Of a frame and of denoising a lamp image, s a megapixel on two cores of a desk."""
PASS_COST: Final = 0.25
"""Of a pass of a lamp image, a megapixel of it: together with some others, in the unit of a round's work."""


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
