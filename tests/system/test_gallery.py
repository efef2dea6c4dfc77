"""The README's pictures are what the program makes today: two of them, made again small, have the same light."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final, TypeAlias

import numpy as np
import pytest
from numpy.typing import NDArray

from materials.colour.lab import lightness
from materials.colour.srgb import LUMINANCE_WEIGHTS, srgb_decode
from render.frame import Frame
from render.images.store.store import Store
from render.images.tracing import Tracing
from tests.support.sheets.readme_pictures import (
    Picture,
    resized,
    sheet_frames,
    sheet_picture,
    shown,
    strip_frames,
    strip_picture,
)

Compose: TypeAlias = Callable[[Sequence[Frame]], Picture]

SETUPS: Final = Path(__file__).parents[2] / "scenes" / "setups" / "data"
SMALL: Final = (120, 160)
SHOWN: Final = (480, 640)
BLOCKS: Final = (12, 9)
"""Down and across a frame: the mean luminance of each is compared, so that noise and JPEG count little."""
MOST: Final = 0.6
"""Root mean square difference of a frame's blocks in CIE lightness. Of other samples, made small, it is .14 to .52, as
between machines whose samples have nothing in common; with the key 5 degrees higher or further round .8 to 1."""
FROM_BEHIND: Final = {"rim": 2.4, "rim-fill": 2.4}
"""The same where most of the light is thin highlights: small frames average them before they clip. 1.9 and 1.3."""
FEW: Final = 20
"""Pixels of a row or a column; edges that were resized have the colour of another frame in fewer."""


def differences(frames: Sequence[Frame], compose: Compose, picture: Picture) -> list[float]:
    """Return how far each of a picture's frames is from the same frame made small, RMS in CIE lightness."""
    large = [replace(frame, rgb=resized(frame.rgb, SHOWN)) for frame in frames]
    made = compose(large)
    assert made.shape == picture.shape  # the same captions, in as many lines
    found = []
    for place in _places(large, compose):
        one, other = (lightness(_block_luminance(each[place])) for each in (made, picture))
        found.append(float(np.sqrt(np.mean((one - other) ** 2))))
    return found


def _places(frames: Sequence[Frame], compose: Compose) -> list[tuple[slice, slice]]:
    """Return the rows and columns of each frame in a picture, found by a colour in its place."""
    colours = [(0, 255, 10 * i) for i in range(len(frames))]
    marked = compose([replace(f, rgb=np.full_like(f.rgb, colour)) for f, colour in zip(frames, colours, strict=True)])
    places = []
    for colour in colours:
        inside = (marked == colour).all(axis=2)
        down, across = (np.flatnonzero(inside.sum(axis=axis) > FEW) for axis in (1, 0))
        places.append((slice(down[0], down[-1] + 1), slice(across[0], across[-1] + 1)))
    return places


def _block_luminance(picture: Picture) -> NDArray[np.float64]:
    """Return the mean relative luminance of BLOCKS of a picture."""
    luminance = srgb_decode(picture / 255) @ LUMINANCE_WEIGHTS
    rows, columns = (np.array_split(np.arange(n), blocks) for n, blocks in zip(luminance.shape, BLOCKS, strict=True))
    return np.array([[luminance[np.ix_(r, c)].mean() for c in columns] for r in rows])


@pytest.mark.slow
def test_the_sheet_shows_the_light_of_todays_setups() -> None:
    frames = sheet_frames(Tracing(Store()), SMALL)
    found = differences(frames, sheet_picture, shown("sheet.jpg"))
    drifted = {
        frame.setup.name: rms
        for frame, rms in zip(frames, found, strict=True)
        if rms > FROM_BEHIND.get(frame.setup.name, MOST)
    }
    assert not drifted, "make gallery"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("today", "changed"),
    [("", ""), ("rise_deg = 30", "rise_deg = 35"), ("round_deg = -65", "round_deg = -60")],
    ids=["as it is", "the key 5 degrees higher", "the key 5 degrees nearer the camera"],
)
def test_the_strip_shows_the_light_of_todays_setup_and_a_change_would_be_seen(
    tmp_path: Path, today: str, changed: str
) -> None:
    setup = (SETUPS / "broad.toml").read_text(encoding="utf-8")
    assert today in setup
    (tmp_path / "broad.toml").write_text(setup.replace(today, changed), encoding="utf-8")
    frames = strip_frames(Tracing(Store()), str(tmp_path / "broad.toml"), SMALL)
    found = differences(frames, strip_picture, shown("strip.jpg"))
    assert (max(found) < MOST) if changed == today else (min(found) > MOST), found
