"""Formats of mesh files that are read, by the ends of their names."""

from __future__ import annotations

from pathlib import PurePath
from typing import Final

READABLE: Final = ("stl", "obj", "ply", "glb", "gltf", "3mf", "off")


def is_mesh_name(name: str | PurePath) -> bool:
    """Return whether a name is that of a mesh file."""
    return PurePath(name).suffix.lower().lstrip(".") in READABLE
