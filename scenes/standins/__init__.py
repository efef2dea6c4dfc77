"""Stand-ins for a model that there is no mesh of: generic, generated, in the size of the build."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scenes.demo.sweeps import Mesh

from .machines import aircraft, car, tank
from .others import ship, spoon
from .people import bust, figure

_MADE: dict[str, Callable[[], dict[str, Mesh]]] = {
    "figure": figure, "bust": bust, "aircraft": aircraft, "tank": tank, "car": car, "ship": ship, "spoon": spoon,
}  # fmt: skip
STAND_INS = tuple(_MADE)
_TABLE: dict[str, dict[str, Any]] = tomllib.loads(
    files("scenes.standins").joinpath("standins.toml").read_text(encoding="utf-8")
)

STANDIN_SIZE_CM: dict[str, tuple[str, float]] = {
    name: (str(said["size"][0]), float(said["size"][1])) for name, said in _TABLE.items()
}
"""The size that each has unless another is said, as ("height_cm", 18.0)."""


def load_standin(name: str) -> list[tuple[str, NDArray[np.float32], NDArray[np.int32]]]:
    """Return a stand-in's parts as (name, vertices (n, 3) in cm, faces (m, 3)), z up, its front to -y."""
    return [
        (part, mesh.vertices.astype(np.float32), mesh.faces.astype(np.int32)) for part, mesh in _MADE[name]().items()
    ]


def standin_finishes(name: str) -> list[dict[str, Any]]:
    """Return how its parts are finished, as [[subject.parts]] of an arrangement."""
    return [dict(part) for part in _TABLE[name]["parts"]]


def standin_words(name: str) -> str:
    """Return what a stand-in is good for and what not, in a sentence."""
    if name == "spoon":
        return "the painted spoon: trust it for how a topcoat takes light, not for how your model's shapes do"
    return (
        f"a generic {name} stands in for yours: trust lamp places, lux and backdrop; recesses, lines and small "
        "highlights are not your model's"
    )
