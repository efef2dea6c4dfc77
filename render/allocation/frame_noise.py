"""The noise that is left in a frame as it is shown, and how much of it each lamp image brings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from materials.light.spectra import xyz
from render.hero_light import HeroLight, metered_lux
from render.images.noise import Noise
from render.images.reference_light import REFERENCE_Y

DARK: Final = 0.01
"""Of white: darker pixels count by the error that such a one would have. Common practice, no source."""


@dataclass(frozen=True)
class FrameNoise:
    """The noise of a frame.

    Parameters
    ----------
    grain
        Standard error over the luminance of a pixel as shown, root mean square over the frame: .01 is 1 %.
    shares
        Mean square of what each emitter's image brings alone; where none shares its paths with another, they add up to
        the square of the grain.
    """

    grain: float
    shares: tuple[float, ...]


def frame_noise(hero: HeroLight, noises: Sequence[Noise], passes: Sequence[int]) -> FrameNoise:
    """Return the noise of the frame of a shot, of the noise of each emitter's image, which by now has so many passes.

    Light beyond white is white, with and without noise. The noise of a lamp image is taken to fall, since it was
    measured, as the square root of its passes grows.
    """
    factors = [emitter.dimmer * xyz(emitter.radiance)[1] / REFERENCE_Y for emitter in hero.emitters]
    shown = np.add.reduce([noise.shown * np.float32(k) for noise, k in zip(noises, factors, strict=True)])
    white = hero.chosen_exposure(metered_lux(hero, shown)).exposure.white_cd_m2
    shown /= np.float32(white)
    errors = [
        noise.error * np.float32(k / white * np.sqrt(noise.passes / now))
        for noise, k, now in zip(noises, factors, passes, strict=True)
    ]
    total = np.add.reduce(errors)
    seen = (np.clip(shown + total, 0, 1) - np.clip(shown - total, 0, 1)) / 2
    weight = 1 / (np.square(np.clip(shown, 0, 1), dtype=np.float64) + DARK**2)
    is_shown = shown < 1
    shares = tuple(float(np.mean(np.square(error, dtype=np.float64) * weight * is_shown)) for error in errors)
    return FrameNoise(float(np.sqrt(np.mean(np.square(seen, dtype=np.float64) * weight))), shares)
