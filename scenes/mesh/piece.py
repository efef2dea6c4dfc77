"""The content of a mesh file: named pieces in the unit and axes of the file."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .colour_map import ColourMap
from .opacity_map import OpacityMap

CM_PER_UNIT = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54}
CM_PER_UNIT |= {"micron": 1e-4, "millimeter": 0.1, "centimeter": 1.0}  # 3MF's words
CM_PER_UNIT |= {"inch": 2.54, "foot": 30.48, "meter": 100.0}


def is_generic_name(name: str) -> bool:
    """Return whether a piece's name is a number or a generic word that programs generate."""
    return re.fullmatch(r"geometry(_\d+)?|\d+|", name.strip()) is not None


@dataclass(frozen=True, eq=False)
class Piece:
    """A named piece in the file's unit and axes: vertices (n, 3), faces (m, 3).

    `colour` is "#rrggbb" where it has one that is no program's default, `colour_map` holds colours that differ over it,
    `opacity_map` says where light passes through it, None of an opaque one; `material` is the name of its material.
    """

    name: str
    vertices: NDArray[np.floating[Any]]
    faces: NDArray[np.integer[Any]]
    colour: str | None = None
    colour_map: ColourMap | None = None
    material: str | None = None
    opacity_map: OpacityMap | None = None

    def with_maps(self, change: Callable[[Any], Any]) -> Piece:
        """Return the piece with a change made to each map that it has."""
        return replace(
            self,
            colour_map=self.colour_map and change(self.colour_map),
            opacity_map=self.opacity_map and change(self.opacity_map),
        )

    def mirrored(self) -> Piece:
        """Return the piece with its faces turned over, as of a mirrored copy."""
        return replace(self, faces=self.faces[:, ::-1]).with_maps(lambda corner_map: corner_map.reversed())


@dataclass(frozen=True, eq=False)
class MeshFile:
    """A mesh file; ``unit`` is None where the format has none, ``up`` is the format's axis, ``notes`` are sentences."""

    pieces: tuple[Piece, ...]
    unit: str | None
    up: str
    notes: tuple[str, ...]
