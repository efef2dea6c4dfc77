"""Pictures of linear values on disk, as OpenEXR."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from materials.arrays import Image
from render.images.store.atomic_file import write_atomically


def write_exr(path: Path, channels: Mapping[str, Image], attributes: Mapping[str, Any]) -> None:
    """Write channels, each (height, width), in floating point of 24 bits, whole or not at all.

    A step is .00002 of the value. That of half precision is far more below .00006, and a shadow is that dark in
    W/(m2 sr nm); 32 bits take twice the disk, for noise.

    Raises
    ------
    OSError
        Where it cannot be written.
    """
    import OpenEXR

    header = {"type": OpenEXR.scanlineimage, "compression": OpenEXR.PXR24_COMPRESSION, **attributes}
    planes = {name: np.ascontiguousarray(plane, np.float32) for name, plane in channels.items()}
    picture = OpenEXR.File(header, planes)
    write_atomically(path, picture.write)
