"""The built-in demo model: an invented hard-hat diver, 1:12, with a signal staff, on an oval base."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from .packing import unpack

HERE = Path(__file__).parent


def load_diver() -> list[tuple[str, NDArray[np.float32], NDArray[np.int32]]]:
    """Return the diver's parts as (name, vertices (n, 3) in cm, faces (m, 3)).

    z is up, the face looks towards -y, and the base stands on z = 0 with its centre over the origin.
    """
    return unpack(HERE / "diver.npz")
