"""Pictures on disk, 8 or 16 bits a channel: the one place where they are written, and read back."""

from __future__ import annotations

from pathlib import Path
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from render.images.atomic_file import write_atomically

from .png import encode_png

Picture: TypeAlias = NDArray[np.uint8] | NDArray[np.uint16]
"""(height, width) of grey or (height, width, 3) of colour."""

_JPEG: Final = {"plugin": "pillow", "quality": 78, "optimize": True}  # of the README's sheet, 400 KB
_TIFF: Final = {"plugin": "tifffile", "compression": "zlib"}


def write_picture(path: Path, picture: Picture) -> None:
    """Write a picture in the format that the name ends in, whole or not at all.

    JPEG takes 8 bits, PNG 8 or of grey 16, TIFF either.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    packed = _encode(picture, path.suffix.lower())
    write_atomically(path, lambda file: file.write(packed))


def read_picture(path: Path) -> Picture:
    """Return a picture as `write_picture` took it; of JPEG, as it comes out.

    Raises
    ------
    OSError
        Where it cannot be read.
    """
    import imageio.v3 as imageio

    plugin = "tifffile" if path.suffix.lower() in (".tif", ".tiff") else "pillow"
    picture: Picture = imageio.imread(path, plugin=plugin)
    return picture


def _encode(picture: Picture, ending: str) -> bytes:
    if ending == ".png":
        return encode_png(picture)
    import imageio.v3 as imageio

    return imageio.imwrite("<bytes>", picture, extension=ending, **(_TIFF if ending.startswith(".tif") else _JPEG))
