"""The subject from mesh files: read, separated into parts, rotated upright, scaled, simplified, seated on the table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scenes.arrangement.subject_model import SubjectModel
from scenes.errors import InputError
from scenes.mesh.files.mesh import read_mesh_file
from scenes.mesh.piece import MeshFile, Piece
from scenes.mesh.repair.cleaning import fault
from scenes.mesh.repair.merging import merged_by_position
from scenes.mesh.repair.separation import separated, without_strays
from scenes.mesh.repair.simplify import simplified, simplifying_hint
from scenes.mesh.repair.supports import support_notes
from scenes.mesh.triangles import bounds
from scenes.progress import Progress, no_progress

from .axes import upright
from .file_unit import SPELLED
from .relighting import flattened
from .seating import seated, uniquely_named
from .sizing import cm_per_file_unit, stated_size
from .subject import Subject, matches_pattern

LEAST_EXTENT = 1e-12  # in the unit of the file


def load_subject(paths: Sequence[Path], declared: SubjectModel, *, progress: Progress = no_progress) -> Subject:
    """Return the model in a mesh file, or in several that belong together, upright and seated on the table.

    Parameters
    ----------
    paths
        STL, OBJ, PLY, GLB, glTF, 3MF or OFF; several have one frame of axes and one unit.
    declared
        Its size or unit, optional where the format has a unit; `up`, by default z, and y of GLB and glTF; `front`, by
        default -y, and z where y is up; hidden parts, simplification, plinth and flattening.
    progress
        Called with a description of each step.

    Raises
    ------
    InputError
        If a file cannot be used or the size is unknown.
    """
    stated_size(declared)
    if declared.up is not None:
        upright(declared.up, declared.front)  # wrong axes are reported before a long load
    file = " + ".join(p.name for p in paths)
    progress(f"reading {file}")
    mesh = _joined(paths, [read_mesh_file(p) for p in paths])
    rotation = upright(declared.up or mesh.up, declared.front)
    progress("telling its parts apart")
    pieces, notes = _kept_pieces(mesh, declared.hide, file)
    pieces = [replace(p, vertices=p.vertices @ rotation.T.astype(np.float32)) for p in pieces]
    notes += support_notes(pieces)
    pieces, simplifying_notes = _simplified(pieces, declared.triangles, progress)
    extents = np.ptp(bounds(piece.vertices for piece in pieces), axis=0)
    if not extents.max() > LEAST_EXTENT:
        raise InputError(f"{file} has no size, all its points are in one place: export it again")
    factor, size_notes = cm_per_file_unit(file, mesh.unit, declared, extents)
    pieces = [replace(piece, vertices=piece.vertices * np.float32(factor)) for piece in pieces]
    subject = seated(
        paths[0].stem,
        pieces,
        [*notes, *simplifying_notes, *size_notes],
        file,
        plinth=declared.plinth,
        progress=progress,
    )
    by_unit = mesh.unit if stated_size(declared) is None and declared.unit is None else None
    subject = replace(subject, from_file_axes=rotation, sized_by=by_unit and SPELLED[by_unit])
    return flattened(subject, declared.flatten)


def subject_from_parts(
    name: str, parts: Sequence[tuple[str, NDArray[Any], NDArray[Any]]], declared: SubjectModel | None = None, *,
    progress: Progress = no_progress,
) -> Subject:  # fmt: skip
    """Return a subject made of (name, vertices (n, 3) in cm, faces (m, 3)), z up, its front to -y.

    Where a size is declared it is scaled to that; else it keeps its own.
    """
    declared = declared or SubjectModel(mesh=name)
    if declared.unit is not None:
        raise InputError(
            f"{name} is built in and no file with a unit: give its size, as --height-cm 18, or height_cm = 18 under "
            "[subject] in the arrangement"
        )
    pieces = [
        Piece(part, np.asarray(vertices, np.float64), np.asarray(faces, np.int64)) for part, vertices, faces in parts
    ]
    pieces, notes = _without_hidden(uniquely_named(_centred_and_merged(pieces)), declared.hide, name)
    pieces, simplifying_notes = _simplified(pieces, declared.triangles, progress)
    if stated_size(declared):
        extents = np.ptp(bounds(piece.vertices for piece in pieces), axis=0)
        factor, _ = cm_per_file_unit(name, "cm", declared, extents)
        pieces = [replace(piece, vertices=piece.vertices * np.float32(factor)) for piece in pieces]
    return seated(name, pieces, [*notes, *simplifying_notes], name, plinth=declared.plinth, progress=progress)


def _joined(paths: Sequence[Path], meshes: Sequence[MeshFile]) -> MeshFile:
    """Return several files as one, their pieces named after the files."""
    if len(meshes) == 1:
        return meshes[0]
    for path, mesh in zip(paths, meshes, strict=True):
        if (mesh.unit, mesh.up) != (meshes[0].unit, meshes[0].up):
            raise InputError(
                f"{paths[0].name} and {path.name} differ in unit or axes ({meshes[0].unit or 'no unit'} and "
                f"{mesh.unit or 'no unit'}): export both in the same format"
            )
    pieces = [
        replace(piece, name=path.stem if len(mesh.pieces) == 1 else f"{path.stem} {piece.name}")
        for path, mesh in zip(paths, meshes, strict=True)
        for piece in mesh.pieces
    ]
    notes = [f"{path.name}: {note}" for path, mesh in zip(paths, meshes, strict=True) for note in mesh.notes]
    return replace(meshes[0], pieces=tuple(pieces), notes=tuple(notes))


def _kept_pieces(mesh: MeshFile, hide: Sequence[str], file: str) -> tuple[list[Piece], list[str]]:
    """Return the pieces of a file that are kept, under unique names, and notes."""
    for piece in mesh.pieces:
        if found := fault(piece.vertices, piece.faces):
            raise InputError(f"{file}: part '{piece.name}' has {found}; repair the mesh or export it again")
    pieces = _centred_and_merged([piece for piece in mesh.pieces if len(piece.faces)])
    pieces, separation_notes = separated(pieces[0]) if len(pieces) == 1 else without_strays(pieces)
    pieces, hiding_notes = _without_hidden(uniquely_named(pieces), hide, file)
    return pieces, [*mesh.notes, *separation_notes, *hiding_notes]


def _centred_and_merged(pieces: Sequence[Piece]) -> list[Piece]:
    """Return pieces with merged points in single precision, relative to their common centre."""
    centre = bounds(piece.vertices for piece in pieces).mean(axis=0)
    found = []
    for piece in pieces:
        points, faces = merged_by_position(piece.vertices - centre.astype(piece.vertices.dtype), piece.faces)
        found.append(replace(piece, vertices=points, faces=faces))
    return found


def _without_hidden(pieces: Sequence[Piece], hide: Sequence[str], file: str) -> tuple[list[Piece], list[str]]:
    visible = [piece for piece in pieces if not any(matches_pattern(piece.name, pattern) for pattern in hide)]
    if not visible:
        raise InputError(f"subject.hide = {list(hide)} hides every part of {file}: leave one in sight")
    unmatched = [pattern for pattern in hide if not any(matches_pattern(piece.name, pattern) for piece in pieces)]
    return visible, [f"subject.hide: nothing is called '{pattern}'" for pattern in unmatched]


def _simplified(pieces: list[Piece], triangles: int | None, progress: Progress) -> tuple[list[Piece], list[str]]:
    """Return pieces of at most so many triangles, and notes."""
    if triangles is None:
        return pieces, simplifying_hint(pieces)
    progress(f"simplifying to {triangles} triangles")
    return simplified(pieces, triangles)
