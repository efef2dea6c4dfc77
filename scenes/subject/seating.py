"""Pieces in cm made a subject on the table: cleaned, shaded by split normals, the lowest point at z = 0."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from scenes.arrangement.subject_model import PlinthModel
from scenes.errors import InputError
from scenes.lengths import size_words
from scenes.mesh.corner_map import AnyMap
from scenes.mesh.piece import Piece
from scenes.mesh.repair.cleaning import Cleaned, cleaned
from scenes.mesh.repair.normals import split_normals
from scenes.mesh.triangles import bounds
from scenes.progress import Progress, no_progress
from scenes.text import listed

from .decals import with_lifted_decals
from .plinth import raised_on_plinth
from .sizing import SMALLEST_CM
from .subject import PLINTH, Part, Subject

FEW = 3
"""Parts whose findings are grouped_notes one by one."""
_PLURAL = {"is": "are", "was": "were", "has": "have", "lies": "lie"}


def seated(
    name: str, pieces: Sequence[Piece], notes: Sequence[str], file: str, *,
    plinth: PlinthModel | None = None, progress: Progress = no_progress,
) -> Subject:  # fmt: skip
    """Return the subject of pieces in cm with merged points, z up: cleaned, its lowest point on the table or a plinth.

    Raises
    ------
    InputError
        Where no triangle is left, or too small a model.
    """
    sound, findings = [], []
    for number, piece in enumerate(pieces, 1):
        progress(f"cleaning part {number} of {len(pieces)}")
        result = cleaned(piece.vertices, piece.faces)
        findings += [(piece.name, finding) for finding in result.findings]
        if len(result.faces):
            clean = replace(piece, vertices=result.vertices, faces=result.faces)
            sound.append(clean.with_maps(partial(_kept, result)))
    if not sound:
        raise InputError(f"{file} has no triangle with an area: export it again")
    low, high = bounds(piece.vertices for piece in sound)
    if (largest := float((high - low).max())) < SMALLEST_CM:
        raise InputError(
            f"{file} is {size_words(largest)} large without its triangles of no area: repair the mesh or export it "
            "again"
        )
    seat = np.array([*(low + high)[:2] / 2, low[2]], np.float32)
    sound = [replace(piece, vertices=piece.vertices - seat) for piece in sound]
    if plinth is not None:
        sound = raised_on_plinth(uniquely_named(sound, {PLINTH}), plinth)
    parts = []
    for number, piece in enumerate(sound, 1):
        progress(f"smoothing part {number} of {len(sound)}")
        vertices, normals, faces = split_normals(piece.vertices, piece.faces)
        parts.append(
            Part(
                piece.name,
                vertices,
                normals,
                faces,
                piece.colour,
                piece.colour_map,
                material=piece.material,
                opacity_map=piece.opacity_map,
            )
        )
    parts, lifted = with_lifted_decals(parts)
    findings += lifted
    return Subject(name, tuple(parts), (*notes, *grouped_notes(findings)), plinth is not None)


def _kept(result: Cleaned, corner_map: AnyMap) -> AnyMap:
    """Return the map of the faces that cleaning left."""
    return corner_map.of(result.kept).reversed(result.turned)


def uniquely_named(pieces: Sequence[Piece], taken: Iterable[str] = ()) -> list[Piece]:
    """Return the pieces under names that differ from one another and from `taken`, ignoring case."""
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


def grouped_notes(findings: Sequence[tuple[str, str]]) -> list[str]:
    """Return (part, finding) as notes; where more than `FEW` parts have the same finding, one note for all of them."""
    by_kind: dict[str, list[tuple[str, str]]] = {}
    for name, finding in findings:
        by_kind.setdefault(re.sub(r"\d+ (triangle|edge|closed piece)s?", r"# \1s", finding), []).append((name, finding))
    notes = []
    for kind, found in by_kind.items():
        if len(found) <= FEW:
            notes += [f"part '{name}' {finding}" for name, finding in found]
            continue
        total = sum(int(number) for _, finding in found for number in re.findall(r"\d+", finding))
        verb, _, rest = kind.partition(" ")
        names = listed([name for name, _ in found], FEW)
        predicate = f"{_PLURAL.get(verb, verb)} {rest.replace('#', str(total), 1)}"
        notes.append(f"{len(found)} parts {predicate} ({names})")
    return notes
