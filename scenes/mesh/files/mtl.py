"""MTL (Wavefront): the materials of an OBJ file, each with its colour and the name of its picture."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

import numpy as np

from scenes.mesh.colour_map import plain_colour
from scenes.mesh.colouring import NORMAL_MAP, Material

from .encoding import in_utf8

CUT_OUT: Final = "what its picture of holes (map_d) cuts out is not followed: it stands as a whole pane"
_NORMAL_MAPS: Final = ("map_bump", "bump", "norm")
_OPTIONS: Final = re.compile(
    r"(?:-[a-zA-Z]+(?:\s+(?:on|off|[-+]?[\d.]+(?:e[-+]?\d+)?|[rgbmlz]|sphere|cube_\w+))*\s+)+", re.ASCII
)
"""Options before the name of a picture."""


def read_mtl(content: bytes) -> dict[str, Material]:
    """Return the materials of an MTL file by their names; statements before the first name are ignored."""
    found: dict[str, Material] = {}
    name = None
    for line in in_utf8(content).decode().splitlines():
        key, *rest = line.split(maxsplit=1)[:2] or [""]
        if not rest:
            continue
        if key.lower() == "newmtl":
            name = " ".join(rest[0].split())
            found[name] = Material()
        elif name is not None:
            found[name] = _with_statement(found[name], key.lower(), rest[0].strip())
    return found


def _with_statement(material: Material, key: str, rest: str) -> Material:
    if key == "kd":
        return replace(material, colour=_colour(rest.split()))
    if key == "map_kd":
        options = _OPTIONS.match(rest)
        if options is None:
            return replace(material, picture=rest)
        name = rest[options.end() :]
        ignored = f"the options '{options[0].strip()}' of its picture '{name}' are not followed"
        return replace(material, picture=name, notes=(*material.notes, ignored))
    note = NORMAL_MAP if key in _NORMAL_MAPS else CUT_OUT if key == "map_d" else None
    return material if note is None else replace(material, notes=tuple(dict.fromkeys((*material.notes, note))))


def _colour(words: list[str]) -> str | None:
    """Return the colour of three numbers, or of one for red, green and blue; None of other statements."""
    try:
        numbers = [float(word) for word in words[:3]]
    except ValueError:  # a spectral file, or CIE XYZ
        return None
    if len(numbers) == 2:
        return None
    seen = np.nan_to_num(np.array(numbers * (1 if len(numbers) == 3 else 3)), nan=0.0, posinf=0.0, neginf=0.0)
    return plain_colour(np.rint(np.clip(255 * seen, 0, 255))[None], linear=False)
