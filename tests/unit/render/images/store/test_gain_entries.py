"""A lamp image is denoised once: what is stored, and what it is stored for."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from materials.arrays import Image
from render.description.scene import Geometry
from render.images import shown_light
from render.images.denoising_gain import DenoisingGain
from render.images.passes.sealing import SealedImage
from render.images.store import gain_entries
from render.images.store.descriptions import Descriptions
from render.images.store.gain_entries import GainEntries
from render.images.store.store import Store
from scenes.lamps.emitter_shape import EmitterShape
from tests.unit.render.images.test_denoising_gain import HEIGHT, WIDTH, features, noisy
from tests.unit.render.test_frame import shot


@pytest.fixture
def denoised(monkeypatch: pytest.MonkeyPatch) -> list[Image]:
    """Collect what is handed to the denoiser, which halves it."""
    calls: list[Image] = []

    def denoise(linear: Image, *_: object) -> Image:
        calls.append(linear)
        return linear / np.float32(2)

    monkeypatch.setattr(shown_light, "denoise", denoise)
    return calls


def entries(folder: Path) -> GainEntries:
    return GainEntries(Store(folder), Descriptions())


def scene() -> tuple[Geometry, EmitterShape]:
    """Return a geometry whose pictures are of the size of `noisy`, and a lamp."""
    geometry = shot().geometry
    return replace(geometry, camera=replace(geometry.camera, width=WIDTH, height=HEIGHT)), shot().emitter_shapes[0]


def gain_of(gains: GainEntries, image: SealedImage) -> DenoisingGain:
    return gains.gain(*scene(), image, features())


def test_what_is_stored_is_what_was_measured_to_the_bit(tmp_path: Path, denoised: list[Image]) -> None:
    measured, stored = gain_of(entries(tmp_path), noisy()), gain_of(entries(tmp_path), noisy())
    assert len(denoised) == 2  # direct and indirect light, once
    np.testing.assert_array_equal(stored.gain, measured.gain)
    assert stored.little == measured.little


@pytest.mark.parametrize("other", [replace(noisy(), group=1), replace(noisy(), passes=4)], ids=["group", "passes"])
def test_another_noise_is_another_gain(other: SealedImage, tmp_path: Path, denoised: list[Image]) -> None:
    gains = entries(tmp_path)
    gain_of(gains, noisy())
    gain_of(gains, other)
    assert len(denoised) == 4


@pytest.mark.parametrize("changed", ["GAIN_VERSION", "denoiser_version"])
def test_another_denoiser_is_another_gain(
    changed: str, tmp_path: Path, denoised: list[Image], monkeypatch: pytest.MonkeyPatch
) -> None:
    gain_of(entries(tmp_path), noisy())
    monkeypatch.setattr(gain_entries, changed, 99 if changed.isupper() else lambda: "99")
    assert not entries(tmp_path).has(*scene(), 2, 0)
    gain_of(entries(tmp_path), noisy())
    assert len(denoised) == 4


def test_it_is_known_whether_a_gain_is_stored_without_reading_it(tmp_path: Path, denoised: list[Image]) -> None:
    gains = entries(tmp_path)
    assert not gains.has(*scene(), 2, 0)
    gain_of(gains, noisy())
    assert denoised
    assert gains.has(*scene(), 2, 0)
    assert not gains.has(*scene(), 2, 1)
