"""The denoised picture of a shot: the sum of its lamp images, each denoised once for whatever light it gives."""

from __future__ import annotations

import numpy as np

from materials.arrays import Image

from .images.lamp_images import LitLamp, lamp_xyz
from .images.tracing import Tracing
from .shot_light import ShotLight


def clean_xyz(light: ShotLight, tracing: Tracing, passes: int) -> Image:
    """Return the denoised XYZ of each pixel, (height, width, 3), Y in cd/m2; lamp bodies are as in `light`."""
    geometry, total = light.shot.geometry, np.zeros_like(light.xyz)
    for emitter in light.hero.emitters:
        lit = LitLamp(tracing.image(geometry, emitter.shape, passes), emitter.dimmed_radiance)
        total += tracing.gain(geometry, emitter.shape, passes).clean_xyz(lamp_xyz(lit), lit.radiance)
    total[light.lamp_bodies] = light.xyz[light.lamp_bodies]
    return total
