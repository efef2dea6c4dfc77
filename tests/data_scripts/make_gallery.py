"""Remakes the pictures that the README shows, in gallery/images: `make pictures`."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from gallery.files.pictures import write_picture
from gallery.frames.shots import shots_of
from gallery.frames.taking import take_with_progress
from gallery.inputs import open_input, size_line
from gallery.sheet.contact_sheet import ContactSheet, compose_sheet
from gallery.strip.field import read_field
from gallery.strip.strip import compose_strip, take_strip
from gallery.strip.variation import StripRequest, strip_of
from render.images.store.store import Store
from render.images.tracing import Tracing

IMAGES = Path(__file__).parents[2] / "gallery" / "images"
WIDTH_PX = 1400  # under 400 KB


def main() -> None:
    """Write the contact sheet of the demo model and a test strip of topcoats, small."""
    arrangement, tracing = open_input(None, {}), Tracing(Store())
    frames = take_with_progress(shots_of(arrangement, (), (), None), tracing, "draft")
    _write("sheet.jpg", compose_sheet(ContactSheet(arrangement.title, size_line(arrangement), frames)))
    finishes = read_field("finish=matt,satin,semi-gloss,gloss")
    taken = take_strip(strip_of(StripRequest(arrangement, "broad"), finishes), tracing, "draft")
    _write("strip.jpg", compose_strip(arrangement.title, size_line(arrangement), finishes, taken))


def _write(name: str, picture: NDArray[np.uint8]) -> None:
    height, width = picture.shape[:2]
    small = Image.fromarray(picture).resize((WIDTH_PX, round(height * WIDTH_PX / width)), Image.Resampling.LANCZOS)
    write_picture(IMAGES / name, np.asarray(small))


if __name__ == "__main__":
    main()
