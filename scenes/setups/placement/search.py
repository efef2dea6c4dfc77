"""The nearest place to the wanted one that meets all constraints."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scenes.setups.place import Place
from scenes.setups.setup import RelativePlacement

from .constraints import CHEAP, CONSTRAINTS, DEAR, Constraint, clear_of_model, middle_near_model
from .lattice import Candidates, Shape, lattice_about, lattice_all_round
from .surroundings import Surroundings

FIRST_BATCH: Final = 32
"""Candidates that are tried together at first; each further batch is as large as all before it."""
NEAR_MODEL: Final = next(i for i, constraint in enumerate(CONSTRAINTS) if constraint.margin is clear_of_model)
ROUNDING_DEG: Final = 1e-6
NEAREST: Final = 100
"""Candidates nearest to the wanted place that say which constraint is in the way."""


@dataclass(frozen=True)
class Found:
    """The place found, if any, and its angle from the wanted one; `obstacle` refused the candidates nearest to that."""

    place: Place | None
    off_deg: float
    obstacle: Constraint | None

    def is_beyond(self, wanted: RelativePlacement) -> bool:
        """Return whether it is farther off than its setup allows, or nowhere."""
        return self.off_deg > wanted.within_deg + ROUNDING_DEG


def find_place(wanted: RelativePlacement, shape: Shape, around: Surroundings) -> Found:
    """Return the first place of the near lattice that meets all constraints, else of the coarse one all round."""
    near = lattice_about(wanted, shape, around.stage, around.nearest_cm)
    first, broken = _first_free(near, around)
    obstacle = _obstacle(broken) if first != 0 else None
    if first is not None:
        return Found(near.place(first), float(near.off_deg[first]), obstacle)
    everywhere = lattice_all_round(wanted, shape, around.stage, around.nearest_cm)
    first, _ = _first_free(everywhere, around)
    if first is None:
        return Found(None, np.inf, obstacle)
    return Found(everywhere.place(first), float(everywhere.off_deg[first]), obstacle)


def _first_free(candidates: Candidates, around: Surroundings) -> tuple[int | None, NDArray[np.bool_]]:
    """Return the first candidate that meets all, and which (constraints, n) those before it break.

    Of the dear ones, the first that it breaks.
    """
    broken = np.zeros((len(CONSTRAINTS), len(candidates.bodies)), bool)
    start, stop = 0, FIRST_BATCH
    while start < len(candidates.bodies):
        bodies = candidates.bodies[start:stop]
        broken[: len(CHEAP), start:stop] = [constraint.margin(bodies, around) < 0 for constraint in CHEAP]
        free = ~broken[:, start:stop].any(axis=0)
        broken[NEAR_MODEL, start:stop] = free & middle_near_model(bodies, around)
        for i in start + np.flatnonzero(free & ~broken[NEAR_MODEL, start:stop]):
            one = candidates.bodies[i : i + 1]
            refused_by = next((k for k, constraint in enumerate(DEAR) if constraint.margin(one, around)[0] < 0), None)
            if refused_by is None:
                return int(i), broken[:, :i]
            broken[len(CHEAP) + refused_by, i] = True
        start, stop = stop, 2 * stop
    return None, broken


def _obstacle(broken: NDArray[np.bool_]) -> Constraint:
    """Return the constraint that most often alone refuses the nearest candidates, else most often."""
    nearest = broken[:, :NEAREST]
    alone = nearest & (nearest.sum(axis=0) == 1)
    votes = (alone if alone.any() else nearest).sum(axis=1)
    return CONSTRAINTS[int(np.argmax(votes))]
