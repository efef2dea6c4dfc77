"""A lamp image denoised once is denoised for whatever light its lamp gives."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.arrays import Image
from materials.colour.upsampling import reflectance_from_hex
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum, blackbody
from render.images import shown_light
from render.images.bands import BAND_COUNT, band_basis
from render.images.denoising_gain import LITTLE, measure_gain
from render.images.lamp_images import LitLamp, lamp_xyz
from render.images.passes.pass_sums import PassSums
from render.images.passes.sealing import SealedImage, seal
from render.images.reference_light import TO_SRGB
from render.images.shown_light import RAW_BACKDROP_PASSES, RAW_DIRECT_PASSES
from render.kernel.features import Features

HEIGHT, WIDTH = 24, 32
FLAT = band_basis().sum(axis=1).astype(np.float32)[:, None, None]
"""The bands of a perfect white under a flat unit spectrum."""
PATCHES = ("#808080", "#c03020", "#2040b0", "#20a050", "#e0c020", "#181818", "#00ffff", "#ff0000")
"""The last two are at the edge of sRGB: one of their channels is nearly black, and below zero under some lamps."""


def narrow(peak_nm: float, width_nm: float) -> Spectrum:
    """Return the spectrum of a coloured LED."""
    return np.exp(-0.5 * ((WAVELENGTHS_NM - peak_nm) / width_nm) ** 2)


LAMPS = {
    "the reference": blackbody(4000),
    "a candle": blackbody(1900),
    "tungsten": blackbody(2700),
    "daylight": blackbody(6500),
    "a red LED": narrow(630, 10),
    "a green LED": narrow(525, 15),
    "a blue LED": narrow(460, 12),
    "three lines": narrow(440, 5) + 3 * narrow(545, 5) + 2 * narrow(610, 5),
    "a lamp dimmed to nothing": 1e-4 * blackbody(3000),
    "no light": np.zeros(WAVELENGTHS_NM.size),
}


def patches() -> NDArray[np.float32]:
    """Return the bands of a picture of coloured patches under a flat unit spectrum."""
    bands = np.array([band_basis() @ reflectance_from_hex(colour) for colour in PATCHES], np.float32)
    columns = np.arange(WIDTH) * len(PATCHES) // WIDTH
    return np.broadcast_to(bands[columns].T[:, None], (BAND_COUNT, HEIGHT, WIDTH)).copy()


def sealed(bands: NDArray[np.float32], passes: int = 2, indirect: float = 0.3) -> SealedImage:
    """Return a finished image; `indirect` is the share of its light that is indirect."""
    parts = np.stack([0.0 * bands[0], indirect * bands.sum(axis=0) / 351])
    half = np.concatenate([bands, parts]).astype(np.float32) * np.float32(passes / 2)
    return seal(PassSums(half, half, passes // 2, passes // 2))


def features(height: int = HEIGHT, width: int = WIDTH) -> Features:
    """Return those of a picture that the subject covers."""
    plane, vectors = np.ones((height, width), np.float32), np.full((height, width, 3), 0.5, np.float32)
    return Features(vectors, vectors, plane, plane, 0 * plane, plane)


def noisy() -> SealedImage:
    """Return the patches with noise that all wavelengths of a pixel share."""
    noise = np.random.default_rng(7).gamma(9, 1 / 9, (HEIGHT, WIDTH)).astype(np.float32)
    return sealed(patches() * noise)


@pytest.fixture
def _truth_as_denoised(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make a denoiser that finds the patches without noise: the share of them that the light it is given has."""
    true, given = (lamp_xyz(LitLamp(image, blackbody(4000))) @ TO_SRGB.T for image in (sealed(patches()), noisy()))

    def denoise(linear: Image, *_: object) -> Image:
        return true * np.float32(linear.sum(dtype=float) / given.sum(dtype=float))

    monkeypatch.setattr(shown_light, "denoise", denoise)


@pytest.mark.usefixtures("_truth_as_denoised")
@pytest.mark.parametrize("lamp", LAMPS)
def test_under_any_lamp_the_light_is_as_if_denoised_under_that_lamp(lamp: str) -> None:
    image, radiance = noisy(), LAMPS[lamp]
    clean = measure_gain(image, features()).clean_xyz(lamp_xyz(LitLamp(image, radiance)), radiance)
    truth = lamp_xyz(LitLamp(sealed(patches()), radiance))
    np.testing.assert_allclose(clean, truth, rtol=0.01, atol=0.01 * truth.mean())


def test_light_of_several_spectra_together_is_the_sum_of_each() -> None:
    image = noisy()
    gain = measure_gain(image, features())
    parts = [blackbody(2700), 0.5 * narrow(460, 12)]
    apart = sum(gain.clean_xyz(lamp_xyz(LitLamp(image, part)), part) for part in parts)
    both = parts[0] + parts[1]
    together = gain.clean_xyz(lamp_xyz(LitLamp(image, both)), both)
    np.testing.assert_allclose(together, apart, rtol=1e-4, atol=1e-5 * float(together.max()))


def test_pixels_that_no_path_has_lit_get_the_light_of_their_neighbours_in_the_colour_of_the_lamp() -> None:
    bands = np.ones((BAND_COUNT, HEIGHT, WIDTH), np.float32) * FLAT
    bands[:, 12, 16] = 0.0
    image, radiance = sealed(bands), blackbody(2700)
    clean = measure_gain(image, features()).clean_xyz(lamp_xyz(LitLamp(image, radiance)), radiance)
    assert clean[12, 16, 1] > 0.5 * clean[12, 17, 1]
    np.testing.assert_allclose(clean[12, 16] / clean[12, 16, 1], clean[0, 0] / clean[0, 0, 1], rtol=0.02)


def test_no_light_at_all_stays_black() -> None:
    image, radiance = sealed(np.zeros((BAND_COUNT, HEIGHT, WIDTH), np.float32)), blackbody(4000)
    gain = measure_gain(image, features())
    assert np.isfinite(gain.gain).all()
    assert np.abs(gain.clean_xyz(lamp_xyz(LitLamp(image, radiance)), radiance)).max() < 1e-30


def test_light_of_one_band_alone_which_no_screen_shows_stays_finite_and_keeps_its_level() -> None:
    for band in range(BAND_COUNT):
        bands = np.zeros((BAND_COUNT, HEIGHT, WIDTH), np.float32)
        bands[band] = np.random.default_rng(band).gamma(16, 1 / 16, (HEIGHT, WIDTH))
        image, radiance = sealed(bands), blackbody(5000)
        raw = lamp_xyz(LitLamp(image, radiance))
        clean = measure_gain(image, features()).clean_xyz(raw, radiance)
        assert clean.sum() == pytest.approx(float(raw.sum()), rel=0.1)
        assert np.abs(clean).max() < 2 * np.abs(raw).max()


def test_the_gain_of_the_darkest_pixels_is_bounded() -> None:
    bands = patches()
    bands[:, :12] *= 1e-7
    assert measure_gain(sealed(bands), features()).gain.max() <= 1 / LITTLE


@pytest.mark.parametrize(
    ("passes", "beside", "backdrop"),
    [(RAW_DIRECT_PASSES - 2, 0.0, 0.0), (RAW_DIRECT_PASSES, 0.7, 0.0), (RAW_BACKDROP_PASSES, 0.7, 0.7)],
)
def test_direct_light_is_denoised_until_it_has_enough_samples_which_a_backdrop_has_later(
    passes: int, beside: float, backdrop: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shown_light, "denoise", lambda linear, *_: 0 * linear)
    image, radiance, seen = sealed(patches(), passes), blackbody(4000), features()
    seen.backdrop[:, WIDTH // 2 :] = 1.0
    raw = lamp_xyz(LitLamp(image, radiance))[..., 1]
    clean = measure_gain(image, seen).clean_xyz(lamp_xyz(LitLamp(image, radiance)), radiance)[..., 1]
    for kept, columns in ((beside, slice(0, WIDTH // 2)), (backdrop, slice(WIDTH // 2, WIDTH))):
        part = raw[:, columns].sum()
        assert clean[:, columns].sum() == pytest.approx(kept * float(part), rel=0.01, abs=1e-3 * float(part))


def test_noise_goes_and_the_level_stays() -> None:
    noise = np.random.default_rng(3).gamma(16, 1 / 16, (48, 48)).astype(np.float32)
    image, radiance = sealed(FLAT * noise), blackbody(3000)
    raw = lamp_xyz(LitLamp(image, radiance))[..., 1]
    clean = measure_gain(image, features(48, 48)).clean_xyz(lamp_xyz(LitLamp(image, radiance)), radiance)[..., 1]
    assert clean.mean() == pytest.approx(float(raw.mean()), rel=0.05)
    assert clean.std() < 0.25 * raw.std()
