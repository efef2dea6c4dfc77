"""The dimmer of the lamp on the backdrop, where a setup wants its sheet some times frame white.

Frame white follows from the metered lux, and both that and the sheet's luminance follow from the dimmers. Where the
lamps on the sheet are too weak at full, the others are dimmed together: then the exposure is longer, and the sheet
is brighter in the frame.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

LEAST_OTHERS: Final = 0.125
"""The other lamps are dimmed by three stops at most."""


@dataclass(frozen=True, eq=False)
class SheetLight:
    """What the sheet's luminance and frame white follow from.

    Parameters
    ----------
    sheet, others, room : (pixels,)
        Luminance of the sheet by the lamps on it and by the other lamps, as dimmed so far, and by the room, cd/m2.
    sheet_white, others_white, room_white
        Frame white that the metered lux of each of the three asks for by itself, cd/m2.
    """

    sheet: NDArray[np.float64]
    others: NDArray[np.float64]
    room: NDArray[np.float64]
    sheet_white: float
    others_white: float
    room_white: float

    def over_white(self, sheet: float, others: float) -> float:
        """Return the median luminance of the sheet over frame white, the lamps dimmed by these factors.

        It is 0 without light, and infinite where no sheet is in the frame.
        """
        if self.sheet.size == 0:
            return np.inf
        luminance = float(np.median(sheet * self.sheet + others * self.others + self.room))
        white = sheet * self.sheet_white + others * self.others_white + self.room_white
        return luminance / white if white > 0 else 0.0


def solve_sheet(light: SheetLight, wanted: float, *, least_sheet: float, least_others: float) -> tuple[float, float]:
    """Return the factors on the lamps of the sheet and on the others at which its median is `wanted` times white.

    The first goes from `least_sheet` to 1; where 1 is too little, the second goes down from 1 to `least_others`. Where
    the sheet is out of reach, they are the ends nearest to it.
    """
    if light.over_white(least_sheet, 1.0) >= wanted:
        return least_sheet, 1.0
    if light.over_white(1.0, 1.0) >= wanted:
        return _root(lambda factor: light.over_white(factor, 1.0) - wanted, least_sheet, 1.0), 1.0
    if light.over_white(1.0, least_others) >= wanted:
        return 1.0, _root(lambda factor: light.over_white(1.0, factor) - wanted, least_others, 1.0)
    return 1.0, least_others


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    from scipy.optimize import brentq

    return float(brentq(function, low, high, xtol=1e-6))
