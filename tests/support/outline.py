"""How much of a subject's outline is lit: what a rim light is measured by."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import binary_erosion, maximum_filter

from materials.arrays import Image, Mask

UPPER = 0.92
"""Share of the subject's height, from the top, in which its outline counts: below it touches the table."""
WIDTH = 0.02
"""Of the subject's size: how far inside the outline the rim may lie."""
OVER_INTERIOR, OF_WHITE = 4.0, 0.05


def lit_outline_share(luminance: Image, subject: Mask) -> float:
    """Return the share, by length, of a subject's outline that is lit.

    An outline pixel is lit where the brightest pixel of the subject within 2 % of its size is four times the median of
    its interior, and .05 of the frame's white. The interior is farther than that from the outline.

    Parameters
    ----------
    luminance : (height, width)
        Relative to the frame's white.
    subject : (height, width)
        The pixels of the subject.
    """
    rows, columns = np.nonzero(subject)
    size = max(np.ptp(rows), np.ptp(columns)) + 1
    reach = max(1, round(WIDTH * size))
    inside = binary_erosion(subject, iterations=reach)
    outline = subject & ~binary_erosion(subject)
    outline[round(float(rows.min() + UPPER * np.ptp(rows))) :] = False
    brightest = maximum_filter(np.where(subject, luminance, 0.0), size=2 * reach + 1)
    threshold = max(OVER_INTERIOR * float(np.median(luminance[inside])), OF_WHITE)
    return float((brightest[outline] >= threshold).mean())
