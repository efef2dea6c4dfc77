"""The error of a frame is estimated from its halves alone: what varies, and what denoising is off by."""

from __future__ import annotations

import numpy as np
import pytest

from render.allocation.frame_noise import mean_square_error
from render.images.noise import HalfPictures

SIZE = (300, 400)
LEVEL, WHITE_CD_M2 = 0.4, 250.0
SLOPE = 1.16 / 3 * LEVEL ** (-2 / 3)
"""dL*/dY over 100, CIE 1976."""


def halves(noise: float, kept: float, off: float, level: float = LEVEL) -> HalfPictures:
    """Return halves of a flat picture: noisy, and clean ones with some of the same noise, that are off in stripes."""
    errors = np.random.default_rng(5).normal(0, noise, (2, *SIZE))
    stripes = off * np.where(np.arange(SIZE[1]) % 8 < 4, 1, -1)
    clean, noisy = level + kept * errors + stripes, level + errors
    return HalfPictures(*((WHITE_CD_M2 * each).astype(np.float32) for each in (clean, noisy)))


@pytest.mark.parametrize("off", [0.0, 0.004, 0.02])
@pytest.mark.parametrize("kept", [0.1, 0.5, 1.0])
def test_what_varies_and_what_denoising_is_off_by_add_up(kept: float, off: float) -> None:
    noise = 0.02
    found = mean_square_error(halves(noise, kept, off), WHITE_CD_M2, 1.0)
    expected = SLOPE**2 * ((kept * noise) ** 2 / 2 + off**2 / 2**0.5)
    assert found == pytest.approx(expected, rel=0.03, abs=SLOPE**2 * noise**2 * 0.02)


def test_halves_of_a_part_of_the_passes_vary_more_than_the_image() -> None:
    whole, part = (mean_square_error(halves(0.02, 1.0, 0.0), WHITE_CD_M2, known) for known in (1.0, 0.5))
    assert part == pytest.approx(whole / 2, rel=0.01)


def test_beyond_white_nothing_is_seen() -> None:
    assert mean_square_error(halves(0.02, 0.5, 0.02, level=1.5), WHITE_CD_M2, 1.0) == 0
