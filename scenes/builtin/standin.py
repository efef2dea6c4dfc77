"""Stand-ins for a model that there is no mesh of: generic, generated, in the size of the build."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.packaged import packaged_toml
from scenes.builtin.shapes.sweeps import Mesh
from scenes.builtin.standins.aircraft import aircraft
from scenes.builtin.standins.car import car
from scenes.builtin.standins.people import bust, figure
from scenes.builtin.standins.ship import ship
from scenes.builtin.standins.spoon import spoon
from scenes.builtin.standins.tank import tank
from scenes.errors import InputError, nearest

_MADE: dict[str, Callable[[], dict[str, Mesh]]] = {
    "figure": figure, "bust": bust, "aircraft": aircraft, "tank": tank, "car": car, "ship": ship, "spoon": spoon,
}  # fmt: skip
STAND_INS = tuple(_MADE)
STAND_IN = "stand-in:"
"""What a subject's mesh begins with to name one."""
_TABLE: dict[str, dict[str, Any]] = packaged_toml("scenes.builtin", "standins.toml")

STANDIN_SIZE_CM: dict[str, tuple[str, float]] = {
    name: (str(said["size"][0]), float(said["size"][1])) for name, said in _TABLE.items()
}
"""The size that each has unless another is said, as ("height_cm", 18.0)."""


def load_standin(name: str) -> list[tuple[str, NDArray[np.float32], NDArray[np.int32]]]:
    """Return a stand-in's parts as (name, vertices (n, 3) in cm, faces (m, 3)), z up, its front to -y."""
    return [
        (part, mesh.vertices.astype(np.float32), mesh.faces.astype(np.int32)) for part, mesh in _MADE[name]().items()
    ]


def with_standin(data: Mapping[str, Any]) -> dict[str, Any]:
    """Return an arrangement's data with what is known of the stand-in that its subject names.

    It faces its usual way, what is long showing its flank, and is finished; what the arrangement says goes before.

    Raises
    ------
    InputError
        Where there is no stand-in of that name.
    """
    subject = data.get("subject")
    mesh = subject.get("mesh") if isinstance(subject, Mapping) else None
    if not (isinstance(subject, Mapping) and isinstance(mesh, str) and mesh.startswith(STAND_IN)):
        return dict(data)
    name = mesh.removeprefix(STAND_IN)
    if name not in STAND_INS:
        raise InputError(f"no stand-in is called '{name}'{nearest(name, STAND_INS)}")
    usual, own = _TABLE[name], subject.get("parts", [])
    parts = [*usual["parts"], *own] if isinstance(own, list) else own
    return {**data, "subject": {"faces_deg": usual.get("faces_deg", 0), **subject, "parts": parts}}


def standin_words(name: str) -> str:
    """Return what a stand-in is good for and what not, in a sentence."""
    if name == "spoon":
        return "the painted spoon: trust it for how a topcoat takes light, not for how your model's shapes do"
    return (
        f"a generic {name} stands in for yours: trust lamp places, lux and backdrop; recesses, lines and small "
        "highlights are not your model's"
    )
