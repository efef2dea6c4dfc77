"""The alpha of glTF 2.0 materials (ISO/IEC 12113:2022, 3.9.4)."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from scenes.mesh.opacity_map import OpacityMap

from .data import normalized


def alpha_map(
    material: dict[str, Any], factor: float, colours: NDArray[Any] | None, faces: NDArray[np.int64]
) -> OpacityMap | None:
    """Return the opacity of faces (m, 3) by the alpha of a factor and of the colours (n, 3 or 4) at points.

    None of an OPAQUE material, the default: its alpha is to be ignored.
    """
    mode = material.get("alphaMode", "OPAQUE")
    if mode not in ("MASK", "BLEND"):
        return None
    cutoff = float(material.get("alphaCutoff", 0.5)) if mode == "MASK" else None
    opacity_map = OpacityMap.uniform(factor, len(faces), cutoff)
    if colours is not None and len(colours) and colours.shape[1] == 4:
        opacity_map.corners[..., 2] *= np.clip(normalized(colours)[:, 3], 0, 1)[faces]
    return opacity_map
