"""Stand-ins for a model without a mesh: generic, generated, in the size of the build."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from materials.packaged import packaged_toml
from scenes.arrangement.subject_model import PartFinish
from scenes.builtin.shapes.sweeps import Mesh
from scenes.builtin.standins.aircraft import aircraft
from scenes.builtin.standins.bust import bust
from scenes.builtin.standins.car import car
from scenes.builtin.standins.figure import figure
from scenes.builtin.standins.ship import ship
from scenes.builtin.standins.spoon import spoon
from scenes.builtin.standins.tank import tank
from scenes.errors import InputError, nearest
from scenes.subject.kind import SubjectKind

_MADE: dict[str, Callable[[], dict[str, Mesh]]] = {
    "figure": figure, "bust": bust, "aircraft": aircraft, "tank": tank, "car": car, "ship": ship, "spoon": spoon,
}  # fmt: skip
STAND_INS = tuple(_MADE)
STAND_IN = "stand-in:"
"""The prefix of a subject's mesh that names a stand-in."""
_TABLE: dict[str, dict[str, Any]] = packaged_toml("scenes.builtin", "standins.toml")

STANDIN_SIZE_CM: dict[str, tuple[str, float]] = {
    name: (str(usual["size"][0]), float(usual["size"][1])) for name, usual in _TABLE.items()
}
"""The size that each has unless another is declared, as ("height_cm", 18.0)."""


def standin_name(mesh: str | tuple[str, ...]) -> str | None:
    """Return which stand-in a subject's `mesh` names, or None where it names files.

    Raises
    ------
    InputError
        Where there is no stand-in of that name.
    """
    if not (isinstance(mesh, str) and mesh.startswith(STAND_IN)):
        return None
    name = mesh.removeprefix(STAND_IN)
    if name not in STAND_INS:
        raise InputError(f"no stand-in is called '{name}'{nearest(name, STAND_INS)}")
    return name


def load_standin(name: str) -> list[tuple[str, NDArray[np.float32], NDArray[np.int32]]]:
    """Return a stand-in's parts as (name, vertices (n, 3) in cm, faces (m, 3)), z up, its front to -y."""
    return [
        (part, mesh.vertices.astype(np.float32), mesh.faces.astype(np.int32)) for part, mesh in _MADE[name]().items()
    ]


def usual_parts(mesh: str | tuple[str, ...]) -> tuple[PartFinish, ...]:
    """Return the usual finishes of a stand-in's parts; empty where `mesh` names files."""
    name = standin_name(mesh)
    return tuple(PartFinish.model_validate(part) for part in _TABLE[name]["parts"]) if name else ()


def standin_kind(mesh: str | tuple[str, ...]) -> SubjectKind | None:
    """Return the kind of a stand-in, or None where `mesh` names files."""
    name = standin_name(mesh)
    return cast(SubjectKind, _TABLE[name]["kind"]) if name else None


def standin_words(name: str) -> str:
    """Return a sentence on what a stand-in can be trusted for."""
    if name == "spoon":
        return "painted spoons, a back and a bowl: trust them for what a topcoat does, not for your model's shapes"
    return (
        f"a generic {name} stands in for yours: trust lamp places, lux and backdrop; recesses, lines and small "
        "highlights are not your model's"
    )
