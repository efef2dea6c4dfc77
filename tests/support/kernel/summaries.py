"""What pictures are compared by: their mean, the subject's, each band's and each tile's, from independent batches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from .significance import Estimate

Batches = NDArray[np.float64]
"""Independent pictures of one thing, (batches, bands, height, width)."""

Mask = NDArray[np.bool_]

TILE_PX: Final = 8


@dataclass(frozen=True)
class Summary:
    """Estimates of a picture: means over all pixels, over the subject's, of each band, of each tile of all bands."""

    picture: Estimate
    subject: Estimate
    bands: Estimate
    tiles: Estimate


def summarize(pictures: Batches, subject: Mask) -> Summary:
    """Return the summary of independent pictures; `subject` is where the subject is seen."""
    all_bands = pictures.sum(axis=1)
    return Summary(
        Estimate.of(all_bands.mean(axis=(1, 2))),
        Estimate.of(all_bands[:, subject].mean(axis=1)),
        Estimate.of(pictures.mean(axis=(2, 3))),
        Estimate.of(in_tiles(all_bands)),
    )


def in_tiles(pictures: Batches) -> Batches:
    """Return the means of square tiles of (..., height, width) pictures."""
    *rest, height, width = pictures.shape
    split = pictures.reshape(*rest, height // TILE_PX, TILE_PX, width // TILE_PX, TILE_PX)
    means: Batches = split.mean(axis=(-3, -1))
    return means
