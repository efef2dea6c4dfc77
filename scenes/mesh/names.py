"""Names of pieces as people gave them, told from those that a program made up."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from .piece import Piece, is_no_name

_NAMELESS: Final = ("stl", "ply", "off")
"""Kinds of one lump, or whose names are a program's remark."""


def named(pieces: Sequence[Piece], kind: str) -> list[Piece]:
    """Return the pieces with the names that people gave them, and the material's where one has several."""
    plain = [_plain_name(piece.name, piece.material, kind) for piece in pieces]
    several = Counter(plain)
    names = [
        f"{name} {piece.material}" if several[name] > 1 and piece.material and name != piece.material else name
        for name, piece in zip(plain, pieces, strict=True)
    ]
    return [replace(piece, name=name) for piece, name in zip(pieces, names, strict=True)]


def is_made_up(name: str) -> bool:
    """Return whether a program made a name up: a number, a word for want of one, or a label as "=>[0:1:1:2]"."""
    return is_no_name(name) or re.fullmatch(r"=>\[[\d:]+\]", name.strip()) is not None


def _plain_name(name: str, material: str | None, kind: str) -> str:
    if kind in _NAMELESS or is_made_up(name):
        return "model"
    if kind == "obj":
        name = name.removesuffix(f"_{material}") if material else name
        half = len(name) // 2
        if name[half : half + 1] == "_" and name[:half] == name[half + 1 :]:
            name = name[:half]  # the object and its only group have one name
    return name
