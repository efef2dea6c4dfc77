"""Feature images are the same out of the store as in the run that traced them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from render.description.scene import Geometry
from render.images.store.descriptions import Descriptions
from render.images.store.feature_entries import FeatureEntries
from render.images.store.store import Store
from render.kernel.features import Features
from tests.support.light import CAMERA

GEOMETRY = Geometry((), CAMERA)
SIZE = (CAMERA.height, CAMERA.width)


@pytest.fixture
def entries(tmp_path: Path) -> FeatureEntries:
    return FeatureEntries(Store(tmp_path), Descriptions())


def features() -> Features:
    """Return features of opaque surfaces: sixteenths of a pixel, and depths of half a metre."""
    rng = np.random.default_rng(0)
    vectors, shares = rng.random((2, *SIZE, 3), np.float32), rng.integers(0, 17, (2, *SIZE)).astype(np.float32) / 16
    depths = 0.5 + rng.random((2, *SIZE), np.float32)
    return Features(vectors[0], vectors[1], depths[0], shares[0], shares[1], depths[1])


def test_what_is_not_stored_is_none(entries: FeatureEntries) -> None:
    assert entries.load(GEOMETRY) is None


def test_what_is_saved_is_what_is_loaded(entries: FeatureEntries) -> None:
    saved, loaded = entries.save(GEOMETRY, features()), entries.load(GEOMETRY)
    assert loaded is not None
    for name, image in vars(saved).items():
        np.testing.assert_array_equal(vars(loaded)[name], image)
        assert image.dtype == np.float32


def test_distances_and_shares_are_kept_exactly_and_guides_to_half_a_thousandth(entries: FeatureEntries) -> None:
    before = features()
    after = entries.save(GEOMETRY, before)
    for name in ("depth", "body_depth", "subject", "backdrop"):
        np.testing.assert_array_equal(vars(after)[name], vars(before)[name])
    for name in ("albedo", "normal"):
        np.testing.assert_allclose(vars(after)[name], vars(before)[name], rtol=2.0**-11)


def test_a_pixel_takes_24_bytes(entries: FeatureEntries) -> None:
    entries.save(GEOMETRY, features())
    (entry,) = entries.store.entries()
    assert entry.bytes - 24 * SIZE[0] * SIZE[1] < 3000
