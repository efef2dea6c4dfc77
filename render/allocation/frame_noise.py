"""The noise that is left in a frame as it is shown, and how much of it each lamp image brings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from materials.arrays import Image
from materials.colour.lab import lightness
from materials.light.spectra import xyz
from render.hero_light import HeroLight, metered_lux
from render.images.noise import Noise
from render.images.reference_light import REFERENCE_Y

WHITE: Final = 100.0
"""Lightness of the frame's white, CIE 1976 L*; black has 0."""


@dataclass(frozen=True)
class FrameNoise:
    """The noise of a frame.

    Parameters
    ----------
    grain
        Standard error of the lightness of a pixel as shown, of that of white, root mean square over the frame: .01, one
        unit of CIE 1976 L*, is about what an eye tells apart side by side (common practice, no source).
    shares
        Square of the grain if each emitter's image alone were noisy; where none shares its paths with another, they add
        up to the square of the grain.
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
    shares = tuple(_mean_square(shown, error) for error in errors)
    return FrameNoise(float(np.sqrt(_mean_square(shown, np.add.reduce(errors)))), shares)


def _mean_square(shown: Image, error: Image) -> float:
    """Return the mean square of what an error changes the lightness of a picture by, white being 1."""
    above, below = (lightness(np.clip(luminance, 0.0, 1.0)) for luminance in (shown + error, shown - error))
    return float(np.mean(np.square((above - below) / (2 * WHITE))))
