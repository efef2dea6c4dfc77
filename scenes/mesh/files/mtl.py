"""MTL (Wavefront): the materials of an OBJ file, each with its colour and the name of its picture."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from scenes.errors import InputError
from scenes.mesh.colour_map import plain_colour
from scenes.mesh.colouring import NORMAL_MAP, Material

from .encoding import in_utf8
from .folder import FolderResolver
from .opacity import INVISIBLE

LARGEST_MTL_BYTES: Final = 10_000_000
MOST_NAMED: Final = 3
_MTL_NAME: Final = re.compile(rb"^[ \t]*mtllib[ \t]+([^\r\n]+)", re.MULTILINE)
_USED_NAME: Final = re.compile(rb"^[ \t]*usemtl[ \t]+([^\r\n]+)", re.MULTILINE)
_OPTIONS: Final = re.compile(
    r"(?:-[a-zA-Z]+(?:\s+(?:on|off|[-+]?[\d.]+(?:e[-+]?\d+)?|[rgbmlz]|sphere|cube_\w+))*\s+)+", re.ASCII
)
"""Options before the name of a picture."""


class ObjMaterials(NamedTuple):
    """The materials of an OBJ file by name, that of all other names, and notes on those."""

    by_name: dict[str, Material]
    default: Material = Material()
    notes: tuple[str, ...] = ()


def obj_materials(content: bytes, resolver: FolderResolver) -> ObjMaterials:
    """Return the materials of the content of an OBJ file.

    Where it uses one material alone and its MTL file has one of another name alone, that one is taken for it.
    """
    match = _MTL_NAME.search(content)
    if match is None:
        return ObjMaterials({})
    try:
        found = read_mtl(resolver.get(match[1].decode().strip(), LARGEST_MTL_BYTES))
    except InputError:  # the resolver notes what is missing or refused
        return ObjMaterials({})
    used = dict.fromkeys(" ".join(name.decode(errors="replace").split()) for name in _USED_NAME.findall(content))
    unknown = [name for name in used if name not in found]
    if not unknown or not found:
        return ObjMaterials(found)
    if len(used) == len(found) == 1:
        (only,) = found
        note = f"its material '{unknown[0]}' is called '{only}' in its MTL file: taken for the same"
        return ObjMaterials(found, found[only], (note,))
    names = ", ".join(f"'{name}'" for name in unknown[:MOST_NAMED]) + (", ..." if len(unknown) > MOST_NAMED else "")
    return ObjMaterials(found, notes=(f"its MTL file has no material called {names}: what is of it has no colours",))


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
    match key:
        case "kd":
            return replace(material, colour=_colour(rest.split()))
        case "map_kd":
            name, notes = _picture(rest)
            return replace(material, picture=name, notes=(*material.notes, *notes))
        case "map_d" | "map_tr":
            name, notes = _picture(rest)
            inverted = key == "map_tr"
            return replace(material, opacity_picture=name, is_inverted=inverted, notes=(*material.notes, *notes))
        case "d" | "tr":
            return _with_opacity(material, key, rest)
        case "map_bump" | "bump" | "norm":
            return replace(material, notes=tuple(dict.fromkeys((*material.notes, NORMAL_MAP))))
    return material


def _picture(rest: str) -> tuple[str, tuple[str, ...]]:
    """Return the name of a picture, and a note on the options before it."""
    options = _OPTIONS.match(rest)
    if options is None:
        return rest, ()
    name = rest[options.end() :]
    return name, (f"the options '{options[0].strip()}' of its picture '{name}' are not followed",)


def _with_opacity(material: Material, key: str, rest: str) -> Material:
    """Return a material with its opacity d, or 1 - Tr where that alone is stated.

    Neither is believed where it makes the material wholly see-through.
    """
    try:
        value = float(rest.rsplit(maxsplit=1)[-1])
    except ValueError:
        return material
    if not 0 <= value <= 1 or (key == "tr" and material.opacity is not None):
        return material
    opacity = value if key == "d" else 1 - value
    notes = tuple(note for note in material.notes if note != INVISIBLE)
    if opacity == 0:
        return replace(material, opacity=1.0, notes=(*notes, INVISIBLE))
    return replace(material, opacity=opacity, notes=notes)


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
