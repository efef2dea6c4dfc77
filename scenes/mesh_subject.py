"""The subject in mesh files: read, taken apart, turned upright, sized, simplified, and seated on the table."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .axes import upright
from .cleaning import fault
from .errors import InputError
from .mesh_file import read_mesh_file
from .piece import MeshFile, Piece
from .pieces import support_notes, taken_apart, without_strays
from .postures import lying_note
from .seating import seated, uniquely_named
from .simplify import MANY_TRIANGLES, simplified
from .sizing import Scaling, cm_per_file_unit
from .subject import Subject, bounds
from .subject_model import Plinth


@dataclass(frozen=True)
class Treatment:
    """What is done to a mesh on its way to the table: parts left out, triangles at most, a plinth put under it."""

    hide: tuple[str, ...] = ()
    triangles: int | None = None
    plinth: Plinth | None = None


AS_FILED = Treatment()
OWN_SIZE = Scaling()


def load_subject(
    path: Path | Sequence[Path], scaling: Scaling, *, up: str | None = None, front: str | None = None,
    faces_deg: float = 0.0, treatment: Treatment = AS_FILED, tell: Callable[[str], None] = lambda _: None,
) -> Subject:  # fmt: skip
    """Return the model in a mesh file, or in several that belong together, upright and seated on the table.

    Parameters
    ----------
    path : Path or several
        STL, OBJ, PLY, GLB, glTF, 3MF or OFF; several have one frame of axes and one unit.
    scaling : Scaling
        Its size or the file's unit; may be empty where the format states its unit.
    up : {"x", "y", "z", "-x", "-y", "-z"}, optional
        The file's axis that points up: else z, and y for GLB and glTF.
    front : same axes, optional
        The file's axis that the model's face looks along: else -y, and z where y is up.
    faces_deg : float
        Which way it faces: 0 looks at the camera, + turns it to camera right.
    tell
        Is called with what is being done, in words.

    Raises
    ------
    InputError
        If the file cannot be used or its size is not known.
    """
    paths = [Path(p) for p in (path if isinstance(path, Sequence) else [path])]
    scaling.stated()
    if up is not None:
        upright(up, front)  # a wrong axis is told before a long load
    file = " + ".join(p.name for p in paths)
    tell(f"reading {file}")
    mesh = _joined(paths, [read_mesh_file(p) for p in paths])
    rotation = upright(up or mesh.up, front)
    pieces, notes = _chosen(mesh, treatment.hide, file)
    pieces = [replace(p, vertices=p.vertices @ rotation.T.astype(p.vertices.dtype)) for p in pieces]
    extents = np.ptp(bounds(piece.vertices[piece.faces.reshape(-1)] for piece in pieces), axis=0)
    if extents.max() <= 0:
        raise InputError(f"{file} has no size, all its points are in one place: export it again")
    factor, doubts = cm_per_file_unit(file, mesh.unit, scaling, extents)
    pieces = [replace(piece, vertices=piece.vertices * piece.vertices.dtype.type(factor)) for piece in pieces]
    notes += [*doubts, *_many(pieces, treatment.triangles)]
    if treatment.triangles is not None:
        tell(f"simplifying to {treatment.triangles} triangles")
        pieces, said = simplified(pieces, treatment.triangles)
        notes += said
    tell("cleaning and seating it")
    subject = seated(paths[0].stem, pieces, notes, file, treatment.plinth)
    if lying := lying_note(subject, rotation):
        subject = replace(subject, notes=(*subject.notes, lying))
    return subject.turned(faces_deg)


def subject_from_parts(
    name: str, parts: Sequence[tuple[str, NDArray[Any], NDArray[Any]]], *, scaling: Scaling = OWN_SIZE,
    faces_deg: float = 0.0, treatment: Treatment = AS_FILED,
) -> Subject:  # fmt: skip
    """Return a subject made of (name, vertices (n, 3) in cm, faces (m, 3)), z up, its front to -y.

    Where a size is stated it is scaled to that; else it keeps its own.
    """
    pieces = [
        Piece(part, np.asarray(vertices, np.float64), np.asarray(faces, np.int64)) for part, vertices, faces in parts
    ]
    pieces, notes = _shown(pieces, treatment.hide, name)
    if scaling.stated():
        extents = np.ptp(bounds(piece.vertices[piece.faces.reshape(-1)] for piece in pieces), axis=0)
        factor, _ = cm_per_file_unit(name, "cm", scaling, extents)
        pieces = [replace(piece, vertices=piece.vertices * factor) for piece in pieces]
    return seated(name, uniquely_named(pieces), notes, name, treatment.plinth).turned(faces_deg)


def _joined(paths: Sequence[Path], meshes: Sequence[MeshFile]) -> MeshFile:
    """Return what several files hold together, the pieces named after their files."""
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


def _chosen(mesh: MeshFile, hide: Sequence[str], file: str) -> tuple[list[Piece], list[str]]:
    """Return the pieces to put up, with names of their own, and notes."""
    for piece in mesh.pieces:
        if found := fault(piece.vertices, piece.faces):
            raise InputError(f"{file}: part '{piece.name}' has {found}; repair the mesh or export it again")
    pieces = [piece for piece in mesh.pieces if len(piece.faces)]
    apart: list[str] = []
    if len(pieces) == 1:
        pieces, apart = taken_apart(pieces[0])
    pieces, strays = without_strays(pieces)
    pieces, hidden = _shown(uniquely_named(pieces), hide, file)
    return pieces, [*mesh.notes, *apart, *strays, *hidden, *support_notes(pieces)]


def _shown(pieces: Sequence[Piece], hide: Sequence[str], file: str) -> tuple[list[Piece], list[str]]:
    def hides(pattern: str, name: str) -> bool:
        return fnmatchcase(name.lower(), pattern.lower())

    shown = [piece for piece in pieces if not any(hides(pattern, piece.name) for pattern in hide)]
    if not shown:
        raise InputError(f"subject.hide = {list(hide)} hides every part of {file}: leave one in sight")
    idle = [pattern for pattern in hide if not any(hides(pattern, piece.name) for piece in pieces)]
    return shown, [f"subject.hide: nothing is called '{pattern}'" for pattern in idle]


def _many(pieces: Sequence[Piece], triangles: int | None) -> list[str]:
    count = sum(len(piece.faces) for piece in pieces)
    if triangles is not None or count <= MANY_TRIANGLES:
        return []
    return [
        f"{count} triangles take long to load and much memory: triangles = 1000000 under [subject] simplifies the mesh "
        "and looks the same on a sheet"
    ]
