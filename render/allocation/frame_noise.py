"""The grain of a frame as it is shown, and how much of it each lamp image brings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from materials.arrays import Image
from materials.colour.lab import lightness
from materials.light.spectra import xyz
from render.hero_light import HeroLight, metered_lux
from render.images.noise import HalfPictures, Noise

WHITE: Final = 100.0
"""Lightness of the frame's white, CIE 1976 L*; black has 0."""


@dataclass(frozen=True)
class FrameNoise:
    """The noise of a frame.

    Parameters
    ----------
    grain
        Error of the lightness of a pixel as shown, of that of white, root mean square over the frame: .01, one unit of
        CIE 1976 L*, is about what an eye tells apart side by side (common practice, no source).
    shares
        Square of the grain if each emitter's image alone had an error; they add up to about the square of the grain.
    """

    grain: float
    shares: tuple[float, ...]


def frame_noise(hero: HeroLight, noises: Sequence[Noise], passes: Sequence[int]) -> FrameNoise:
    """Return the noise of the frame of a shot, of the noise of each emitter's image, which by now has so many passes.

    Light beyond white is white. The mean square error of a lamp image is taken to fall, since it was measured, as its
    passes grow.
    """
    lamps = [
        noise.lit(emitter.dimmer * float(xyz(emitter.radiance)[1]))
        for noise, emitter in zip(noises, hero.emitters, strict=True)
    ]
    frame = HalfPictures(sum_of([lamp.clean for lamp in lamps]), sum_of([lamp.noisy for lamp in lamps]))
    mean = frame.clean.mean(axis=0)
    white = hero.chosen_exposure(metered_lux(hero, mean)).exposure.white_cd_m2
    known = [float(noise.known) for noise in noises]
    measured = [mean_square_error(_alone(lamp, mean), white, share) for lamp, share in zip(lamps, known, strict=True)]
    shares = [square * noise.passes / now for square, noise, now in zip(measured, noises, passes, strict=True)]
    whole = mean_square_error(frame, white, min(known))
    fallen = sum(shares) / sum(measured) if any(measured) else 1.0
    return FrameNoise(float(np.sqrt(whole * fallen)), tuple(shares))


def sum_of(images: Sequence[Image]) -> Image:
    """Return the sum of images."""
    total: Image = np.add.reduce(images)
    return total


def mean_square_error(frame: HalfPictures, white_cd_m2: float, known: float) -> float:
    """Return the mean square error of the lightness of a frame as shown, white being 1.

    With D and D' the denoised halves and N and N' the noisy ones, whose mean is the truth, ((D - D') / 2)^2 is the
    variance of the mean of both, and (D - N') (D' - N) + (D - D') (N - N') on average the square of what denoising is
    off by: the product of independent noise has no mean, and the second term makes up for the noise that D and N share.
    Halves that lack some passes, having `known` of all, vary more than the image by as much. What denoising is off by
    falls as about the fourth root of the passes, as measured on the demo; a half has fewer than the image.
    """
    clean, other_clean, noisy, other_noisy = (
        lightness(np.clip(half / np.float32(white_cd_m2), 0.0, 1.0)) / WHITE for half in (*frame.clean, *frame.noisy)
    )
    variance = known * float(np.mean(np.square(clean - other_clean), dtype=np.float64)) / 4
    bias = (clean - other_noisy) * (other_clean - noisy) + (clean - other_clean) * (noisy - other_noisy)
    return variance + math.sqrt(known / 2) * max(0.0, float(np.mean(bias, dtype=np.float64)))


def _alone(lamp: HalfPictures, mean: Image) -> HalfPictures:
    """Return a frame of which one lamp's image alone has an error; `mean` is the frame without any."""
    rest = mean - lamp.clean.mean(axis=0)
    return HalfPictures(rest + lamp.clean, rest + lamp.noisy)
