"""The denoised picture of a shot: the sum of its lamp images, each denoised once for whatever light it gives."""

from __future__ import annotations

import numpy as np

from materials.arrays import Image

from .images.tracing import Tracing
from .shot_light import ShotLight


def clean_xyz(light: ShotLight, tracing: Tracing, passes: int) -> Image:
    """Return the denoised XYZ of each pixel, (height, width, 3), Y in cd/m2; lamp bodies are as in `light`."""
    total = np.zeros_like(light.xyz)
    for emitter in light.hero.emitters:
        lit = tracing.lit_image(light.shot.geometry, emitter.shape, emitter.radiance, passes)
        total += lit.clean_xyz * np.float32(emitter.dimmer)
    total[light.lamp_bodies] = light.xyz[light.lamp_bodies]
    return total
