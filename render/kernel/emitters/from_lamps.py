"""From the lamps of a description to emitters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from scenes.lamps.emitter_shape import EmitterShape

from .emitter import Emitter
from .environment import Environment
from .planar import Disc, Panel, Ring
from .sphere import Bulb

COUNTS: Final = (1, 2, 4, 8)
"""Numbers of emitters that programs are compiled for."""
DARK: Final = EmitterShape("panel", np.array([0.0, 0.0, -1e3]), np.diag([1.0, -1.0, -1.0]), (1.0, 1.0))
"""A lamp that faces away from everything: no shadow ray is traced to it."""
_KINDS: Final[dict[str, Callable[[EmitterShape], Emitter]]] = {
    "panel": Panel, "disc": Disc, "ring": Ring, "bulb": Bulb, "room": lambda _: Environment(),
}  # fmt: skip


def emitters_of(lamps: Sequence[EmitterShape]) -> list[Emitter]:
    """Return the emitters of 1 to 8 lamps, followed by dark ones up to the next of `COUNTS`.

    Another number of emitters is another program to compile.
    """
    count = next(count for count in COUNTS if count >= len(lamps))
    return [_KINDS[lamp.kind](lamp) for lamp in (*lamps, *[DARK] * (count - len(lamps)))]
