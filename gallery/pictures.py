"""Remakes the pictures in gallery/images that the README shows: `make pictures`."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image

from render.store import Store, write_whole
from render.tracing import Tracing

from .inputs import open_input
from .sheet import compose_sheet
from .shooting import shots_of, take_with_progress

WIDTH_PX, JPEG_QUALITY = 1400, 82  # under 400 KB


def main() -> None:
    """Write the contact sheet of the demo model, small."""
    opened = open_input(None, {})
    frames = take_with_progress(shots_of(opened, (), (), None), Tracing(Store()), "draft")
    sheet = compose_sheet(opened.title, opened.measures, frames)
    small = sheet.resize((WIDTH_PX, round(sheet.height * WIDTH_PX / sheet.width)), Image.Resampling.LANCZOS)
    packed = io.BytesIO()
    small.save(packed, "JPEG", quality=JPEG_QUALITY, optimize=True)
    write_whole(Path(__file__).parent / "images" / "sheet.jpg", lambda file: file.write(packed.getvalue()))


if __name__ == "__main__":
    main()
