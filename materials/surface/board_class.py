"""Classes of boards by what they do to light: bounce, block, mirror or spread it."""

from __future__ import annotations

from typing import Final, Literal, TypeAlias

import numpy as np

from materials.colour.lab import reflectance_to_lab
from materials.light.spectra import luminance_factor

from .finish import Finish

BoardClass: TypeAlias = Literal["white", "grey", "black", "coloured", "foil", "diffuser"]

LEAST_WHITE: Final = 0.5
"""Luminance factor from which a board counts as white: a stop under the best; common practice, no source."""
MOST_BLACK: Final = 0.1
"""Luminance factor up to which a board counts as black: poster board returns half of it."""
MOST_NEUTRAL: Final = 20.0
"""CIELAB chroma up to which a board does not tint the light that it bounces: cream paper has 12."""


def board_class(finish: Finish) -> BoardClass:
    """Return the class of a board by its finish."""
    if finish.kind in ("metal", "diffuser"):
        return "foil" if finish.kind == "metal" else "diffuser"
    _, a, b = reflectance_to_lab(finish.base)
    if np.hypot(a, b) > MOST_NEUTRAL:
        return "coloured"
    luminance = luminance_factor(finish.base)
    return "white" if luminance >= LEAST_WHITE else "black" if luminance <= MOST_BLACK else "grey"
