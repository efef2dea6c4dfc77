"""Pieces in cm seated on the table as a subject: cleaned, normals split, the lowest point down, findings in words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from scenes.arrangement.subject_model import Plinth
from scenes.errors import InputError
from scenes.mesh.piece import Piece
from scenes.mesh.repair.cleaning import cleaned
from scenes.mesh.repair.normals import split_normals
from scenes.mesh.triangles import bounds
from scenes.text import listed

from .plinth import under
from .subject import PLINTH, Part, Subject

Tick = Callable[[str], None]
"""Is told what is being done, in words."""
FEW = 3
"""Parts whose findings are told one by one."""
_PLURAL = {"is": "are", "was": "were", "has": "have"}


def silent(_: str) -> None:
    """Tell nobody."""


def seated(
    name: str, pieces: Sequence[Piece], notes: Sequence[str], file: str, *,
    plinth: Plinth | None = None, tick: Tick = silent,
) -> Subject:  # fmt: skip
    """Return the subject of pieces in cm, z up, of merged points: cleaned, its lowest point on the table or a plinth.

    Raises
    ------
    InputError
        Where nothing is left of them.
    """
    sound, findings = [], []
    for number, piece in enumerate(pieces, 1):
        tick(f"cleaning part {number} of {len(pieces)}")
        mended = cleaned(piece.vertices, piece.faces)
        findings += [(piece.name, finding) for finding in mended.findings]
        paint = piece.paint and piece.paint.of(mended.kept).turned(mended.turned)
        if len(mended.faces):
            sound.append(replace(piece, vertices=mended.vertices, faces=mended.faces, paint=paint))
    if not sound:
        raise InputError(f"{file} has no triangle with an area: export it again")
    low, high = bounds(piece.vertices for piece in sound)
    seat = np.array([*(low + high)[:2] / 2, low[2]], np.float32)
    sound = [replace(piece, vertices=piece.vertices - seat) for piece in sound]
    if plinth is not None:
        sound = under(uniquely_named(sound, {PLINTH}), plinth)
    parts = []
    for number, piece in enumerate(sound, 1):
        tick(f"smoothing part {number} of {len(sound)}")
        vertices, normals, faces = split_normals(piece.vertices, piece.faces)
        parts.append(Part(piece.name, vertices, normals, faces, piece.colour, piece.paint, material=piece.material))
    return Subject(name, tuple(parts), (*notes, *told(findings)), plinth is not None)


def uniquely_named(pieces: Sequence[Piece], taken: Iterable[str] = ()) -> list[Piece]:
    """Return the pieces with names that differ from one another and from those taken, in capitals or not."""
    taken = set(taken)
    named = []
    for piece in pieces:
        plain = " ".join(piece.name.split()) or "model"
        name, number = plain, 1
        while name.lower() in taken:
            number += 1
            name = f"{plain} {number}"
        taken.add(name.lower())
        named.append(replace(piece, name=name))
    return named


def told(findings: Sequence[tuple[str, str]]) -> list[str]:
    """Return (part, finding) as notes; where more than a few parts have the same, one note for all of them."""
    alike: dict[str, list[tuple[str, str]]] = {}
    for name, finding in findings:
        alike.setdefault(re.sub(r"\d+ (triangle|edge|closed piece)s?", r"# \1s", finding), []).append((name, finding))
    notes = []
    for kind, found in alike.items():
        if len(found) <= FEW:
            notes += [f"part '{name}' {finding}" for name, finding in found]
            continue
        total = sum(int(number) for _, finding in found for number in re.findall(r"\d+", finding))
        verb, _, rest = kind.partition(" ")
        names = listed([name for name, _ in found], FEW)
        said = f"{_PLURAL.get(verb, verb)} {rest.replace('#', str(total), 1)}"
        notes.append(f"{len(found)} parts {said} ({names})")
    return notes
