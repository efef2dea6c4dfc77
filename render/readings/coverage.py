"""Which pixels show the subject or the sheet alone: mixed ones on an outline are neither metered nor counted."""

from __future__ import annotations

from typing import Final

import numpy as np

from materials.arrays import Image, Mask

WHOLE: Final = 0.99
"""The share of a pixel from which it shows one thing alone."""
FEWEST_PX: Final = 32
LEAST_SHARE: Final = 0.5
"""Of the highest coverage there is: what counts of a subject too thin for whole pixels."""


def wholly_covered(coverage: Image) -> Mask:
    """Return the pixels that are covered wholly, by coverage from 0 to 1."""
    return np.asarray(coverage > WHOLE)


def most_covered(coverage: Image) -> Mask:
    """Return the pixels that are covered wholly; of a thin subject, the 32 that are covered most.

    A propeller or a rod has few whole pixels. Its fullest then stand for it, but none of less than half the highest
    coverage.
    """
    whole = wholly_covered(coverage)
    if whole.sum() >= FEWEST_PX or not coverage.any():
        return whole
    fullest = float(np.sort(coverage, axis=None)[-FEWEST_PX:][0])
    return np.asarray(coverage >= max(fullest, LEAST_SHARE * float(coverage.max())))
