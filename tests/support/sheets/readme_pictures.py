"""The sheet and the strip that the README shows, put together of frames of any size."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from gallery.files.pictures import read_picture
from gallery.frames.shots import shots_of
from gallery.frames.taking import take_with_progress
from gallery.inputs import open_input, size_line
from gallery.sheet.contact_sheet import ContactSheet, compose_sheet
from gallery.strip.field import read_field
from gallery.strip.strip import compose_strip, take_strip
from gallery.strip.variation import StripRequest, strip_of
from render.frame import Frame
from render.images.tracing import Tracing

IMAGES: Final = Path(__file__).parents[3] / "gallery" / "images"
WIDTH_PX: Final = 1400
"""Of a picture that fills the README's width, under 400 KB."""
TOPCOATS: Final = "finish=matt,satin,semi-gloss,gloss"

Picture = NDArray[np.uint8]


def shown(name: str) -> Picture:
    """Return a picture of the README."""
    return read_picture(IMAGES / name).astype(np.uint8)


def sheet_frames(tracing: Tracing, size: tuple[int, int] | None = None) -> list[Frame]:
    """Return the frames of the demo model's default sheet, as drafts."""
    return take_with_progress(shots_of(open_input(None, {}), (), (), size), tracing, "draft")


def strip_frames(tracing: Tracing, setup: str = "broad", size: tuple[int, int] | None = None) -> list[Frame]:
    """Return the frames of the demo model in each topcoat, as drafts."""
    request = StripRequest(open_input(None, {}), setup, size)
    return take_strip(strip_of(request, read_field(TOPCOATS)), tracing, "draft")


def sheet_picture(frames: Sequence[Frame]) -> Picture:
    """Return their contact sheet, as the README shows it."""
    demo = open_input(None, {})
    return shrunk(compose_sheet(ContactSheet(demo.title, size_line(demo), frames, [None] * len(frames))))


def strip_picture(frames: Sequence[Frame]) -> Picture:
    """Return their strip, as the README shows it."""
    demo = open_input(None, {})
    return shrunk(compose_strip(demo.title, size_line(demo), read_field(TOPCOATS), frames))


def shrunk(picture: Picture, width: int = WIDTH_PX) -> Picture:
    """Return a picture so many pixels wide."""
    return resized(picture, (width, round(picture.shape[0] * width / picture.shape[1])))


def resized(picture: Picture, size: tuple[int, int]) -> Picture:
    """Return a picture, width x height."""
    return np.asarray(Image.fromarray(picture).resize(size, Image.Resampling.LANCZOS))
