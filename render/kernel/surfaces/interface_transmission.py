"""How much light the surface of a finish lets through, by angle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.surface.energy import COSINES, body_coupling, diffuse_coupling, directional_albedo
from materials.surface.finish import Finish
from render.kernel.backend import mitsuba
from render.kernel.tables import float_table


class InterfaceTransmission:
    """The transmission factor T of the surface of each finish, tabulated over the cosine of the angle.

    Of a plastic or a metal it is scaled so that, as T(outgoing) T(incident) times a lobe, a white finish reflects all
    light at every angle (`materials.surface.energy`); of a clear surface it is the fraction of the light that passes.
    """

    def __init__(self, finishes: Sequence[Finish]) -> None:
        values = np.array([_transmission(finish) for finish in finishes])
        neighbours = np.stack([values[:, :-1], values[:, 1:]], axis=-1)
        self._values = float_table(neighbours)

    def lookup(self, row: Any, cosine: Any) -> Any:
        """Return T of the finish in a row, linear between the tabulated cosines."""
        import drjit as dr

        mi = mitsuba()
        place = dr.clip(cosine, 0.0, 1.0) * (len(COSINES) - 1)
        cell = dr.minimum(mi.UInt32(place), len(COSINES) - 2)
        low, high = dr.gather(mi.Vector2f, self._values, row * (len(COSINES) - 1) + cell)
        return dr.lerp(low, high, place - mi.Float(cell))


def _transmission(finish: Finish) -> NDArray[np.float64]:
    """Return T at `COSINES`."""
    match finish.kind:
        case "plastic":
            return body_coupling(finish.roughness, finish.index, finish.flake_fraction, finish.body_roughness)
        case "metal":
            return diffuse_coupling(directional_albedo(finish.roughness))
        case "clear":
            return 1.0 - directional_albedo(finish.roughness, finish.index)
        case _:
            return np.ones(len(COSINES))
