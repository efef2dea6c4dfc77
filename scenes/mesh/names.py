"""Names of pieces: those that people chose, without those that programs generated."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from .piece import Piece, is_generic_name

_NAMELESS: Final = ("stl", "ply", "off")
"""Formats of one piece, or whose names are comments of programs."""


def named(pieces: Sequence[Piece], kind: str) -> list[Piece]:
    """Return the pieces under the names that people chose, with the material's name where several share one."""
    plain = [_plain_name(piece.name, piece.material, kind) for piece in pieces]
    several = Counter(plain)
    names = [
        f"{name} {piece.material}" if several[name] > 1 and piece.material and name != piece.material else name
        for name, piece in zip(plain, pieces, strict=True)
    ]
    return [replace(piece, name=name) for piece, name in zip(pieces, names, strict=True)]


def is_generated(name: str) -> bool:
    """Return whether a name was generated: a number, a generic word, or a label such as "=>[0:1:1:2]"."""
    return is_generic_name(name) or re.fullmatch(r"=>\[[\d:]+\]", name.strip()) is not None


def _plain_name(name: str, material: str | None, kind: str) -> str:
    if kind in _NAMELESS or is_generated(name):
        return "model"
    if kind == "obj":
        name = name.removesuffix(f"_{material}") if material else name
        half = len(name) // 2
        if name[half : half + 1] == "_" and name[:half] == name[half + 1 :]:
            name = name[:half]  # the object and its only group have one name
    return name
