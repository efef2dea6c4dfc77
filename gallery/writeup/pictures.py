"""The pictures of a write-up: for the web and for print, with what they are in their metadata."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from gallery.files.pictures import write_picture
from gallery.files.scaling import at_most
from render.frame import Frame

from .exif import rendering_exif

WEB_PX: Final = 1200
"""Width of a picture for the web, at most."""
STRIP_PX: Final = 2000
"""Width of several side by side, at most."""
PRINT_DPI: Final = 300
JPEG_QUALITY: Final = 92


def write_web_picture(path: Path, frame: Frame, description: str) -> None:
    """Write a frame as JPEG in sRGB, at most `WEB_PX` wide, its EXIF that of a rendering."""
    exif = rendering_exif(frame, description)
    write_picture(path, at_most(frame.rgb, WEB_PX), quality=JPEG_QUALITY, subsampling=0, exif=exif)


def write_photograph(path: Path, rgb: NDArray[np.uint8]) -> None:
    """Write a photograph as JPEG without any metadata."""
    write_picture(path, rgb, quality=JPEG_QUALITY)


def write_print_picture(path: Path, frame: Frame, description: str) -> None:
    """Write a frame as PNG at its own pixels, at `PRINT_DPI`, said to be a rendering in sRGB."""
    from PIL.PngImagePlugin import PngInfo

    info = PngInfo()
    info.add(b"sRGB", b"\x00")  # perceptual intent (PNG, third edition, 11.3.2.5)
    info.add_text("Description", f"rendering, not a photograph: {description}")
    write_picture(path, frame.rgb, dpi=(PRINT_DPI, PRINT_DPI), pnginfo=info)


def write_strip(path: Path, rgb: NDArray[np.uint8]) -> None:
    """Write several frames with their captions as JPEG, at most `STRIP_PX` wide."""
    write_picture(path, at_most(rgb, STRIP_PX), quality=JPEG_QUALITY)
