"""Stills: the frame as it is, but for what lossy compression takes."""

from __future__ import annotations

import base64
from io import BytesIO

import numpy as np
from PIL import Image

from gallery.page.stills import still_of


def test_a_still_is_its_frame_within_a_level_in_the_mean() -> None:
    y, x = np.mgrid[:64, :48]
    rgb = np.stack([3 * y, 4 * x, 2 * (x + y)], axis=-1).astype(np.uint8)
    still = still_of(rgb)
    kind, _, data = still.url.partition(",")
    assert kind == "data:image/webp;base64"
    seen = np.asarray(Image.open(BytesIO(base64.b64decode(data))).convert("RGB"))
    assert seen.shape == (still.height, still.width, 3) == rgb.shape
    assert np.abs(seen.astype(float) - rgb).mean() < 1.0
