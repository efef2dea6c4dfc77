"""The denoised picture of a shot: the sum of its lamp images, each denoised once for whatever light it gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from materials.arrays import Image

from .description.lit_emitter import LitEmitter
from .images.tracing import Tracing
from .shot_light import ShotLight, composite_bodies


def clean_xyz(light: ShotLight) -> Image:
    """Return the denoised XYZ of each pixel, (height, width, 3), Y in cd/m2; lamp bodies are as in `light`."""
    total = np.zeros_like(light.xyz)
    for emitter, lit in zip(light.hero.emitters, light.images.lit, strict=True):
        total += lit.clean_xyz * np.float32(emitter.dimmer)
    total[light.lamp_bodies] = light.xyz[light.lamp_bodies]
    return total


def clean_lamp_images(light: ShotLight, emitters: Sequence[LitEmitter], tracing: Tracing, passes: int) -> list[Image]:
    """Return the denoised XYZ of each emitter alone and undimmed, (height, width, 3), with its visible lamp bodies.

    Times the dimmers, they add up to `clean_xyz`. `emitters` are those of `light`, or have another radiance.
    """
    undimmed = [replace(emitter, dimmer=1.0) for emitter in emitters]
    geometry = light.shot.geometry
    lit = [tracing.lit_image(geometry, emitter.shape, emitter.radiance, passes) for emitter in undimmed]
    images = [each.clean_xyz.copy() for each in lit]
    composite_bodies(light.shot, light.features, images, undimmed)
    return images
