"""The subject: a model's named parts, scaled, upright, seated on the table and turned the way it faces."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .axes import upright
from .errors import InputError, nearest
from .mesh_file import read_mesh_file
from .paint import Paint
from .piece import CM_PER_UNIT, MeshFile, Piece
from .shading import cleaned, fault, split_normals

Vector = NDArray[np.float64]

UNITS = ("mm", "cm", "m", "in")
_AXES = {"width_cm": 0, "length_cm": 1, "height_cm": 2}
_SMALLEST_CM, _LARGEST_CM = 0.5, 300.0
_HOW_TO_SIZE = (
    "give one size, as --height-cm 18 (or --length-cm, --width-cm) on the command line, "
    'or as height_cm = 18 or unit = "mm" under [subject] in the arrangement'
)


@dataclass(frozen=True, eq=False)
class Part:
    """One named piece in the table frame: vertices (n, 3) in cm, unit normals (n, 3), faces (m, 3).

    ``colour`` is "#rrggbb" where the file states one for the whole piece, ``paint`` what it has where they differ.
    """

    name: str
    vertices_cm: NDArray[np.float32]
    normals: NDArray[np.float32]
    faces: NDArray[np.int32]
    colour: str | None = None
    paint: Paint | None = None
    recess: NDArray[np.float32] | None = None


@dataclass(frozen=True, eq=False)
class Subject:
    """A model on the table: origin under its centre, x to camera right, y away from the camera, z up, in cm.

    ``notes`` says in plain words what was repaired and what is doubtful.
    """

    name: str
    parts: tuple[Part, ...]
    notes: tuple[str, ...] = ()

    @cached_property
    def bounds_cm(self) -> Vector:
        """Lowest and highest corner (2, 3), cm."""
        return _bounds(part.vertices_cm for part in self.parts)

    @property
    def size_cm(self) -> float:
        """Largest dimension, cm."""
        return float(np.ptp(self.bounds_cm, axis=0).max())

    @property
    def height_cm(self) -> float:
        """Height, cm."""
        return float(np.ptp(self.bounds_cm[:, 2]))

    def matching(self, pattern: str) -> tuple[Part, ...]:
        """Return the parts whose names match, with ``*`` and ``?`` as wildcards, in capitals or not."""
        return tuple(part for part in self.parts if fnmatchcase(part.name.lower(), pattern.lower()))

    def aim_cm(self, pattern: str | None = None) -> Vector:
        """Return the point (3,) that lamps and camera aim at, cm.

        The centre of the bounds of the parts that match. Without a pattern, the middle of the upper third
        of a standing model; of a flat one, lower than half its horizontal size, the centre.

        Raises
        ------
        InputError
            If no part matches.
        """
        if pattern is not None:
            heroes = self.matching(pattern)
            if not heroes:
                near = nearest(pattern, {part.name for part in self.parts})
                raise InputError(f"no part of '{self.name}' matches the hero '{pattern}'{near}")
            return _centre(part.vertices_cm for part in heroes)
        centre = _centre([self.bounds_cm])
        if self.height_cm < 0.5 * np.ptp(self.bounds_cm[:, :2], axis=0).max():
            return centre
        third = self.bounds_cm[1, 2] - self.height_cm / 3.0
        upper = [part.vertices_cm[part.vertices_cm[:, 2] >= third] for part in self.parts]
        centre[:2] = _bounds(upper)[:, :2].mean(axis=0)
        centre[2] = self.bounds_cm[1, 2] - self.height_cm / 6.0
        return centre

    def surface_points(self, count: int) -> Vector:
        """Return ``count`` points (count, 3) spread by area, cm; always the same ones."""
        areas = self._areas_up_to
        steps = (np.arange(count) + 0.5) / max(count, 1) * areas[-1]
        face = np.minimum(np.searchsorted(areas, steps), len(areas) - 1)
        # additive recurrence on the plastic number: Roberts 2018, "R2"
        u, v = np.modf(np.outer([0.7548776662466927, 0.5698402909980532], np.arange(1, count + 1)))[0]
        u, v = np.where(u + v > 1, 1 - u, u)[:, None], np.where(u + v > 1, 1 - v, v)[:, None]
        corners, first = [], 0
        for part in self.parts:
            chosen = face[(face >= first) & (face < first + len(part.faces))] - first  # in order, as the steps are
            corners.append(part.vertices_cm[part.faces[chosen]])
            first += len(part.faces)
        a, b, c = np.concatenate(corners).astype(np.float64).transpose(1, 0, 2)
        points: Vector = a + u * (b - a) + v * (c - a)
        return points

    @cached_property
    def _areas_up_to(self) -> Vector:
        """The area of all faces up to each, (faces,) cm2, part after part."""
        areas = []
        for part in self.parts:
            a, b, c = part.vertices_cm[part.faces].astype(np.float64).transpose(1, 0, 2)
            areas.append(np.linalg.norm(np.cross(b - a, c - a), axis=1))
        return np.cumsum(np.concatenate(areas))

    def turned(self, degrees: float) -> Subject:
        """Return the subject turned about the centre mark; + turns its face to camera right."""
        if not degrees:
            return self
        cosine, sine = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        turn = np.array([[cosine, sine, 0], [-sine, cosine, 0], [0, 0, 1]], np.float32)  # of rows
        parts = [replace(part, vertices_cm=part.vertices_cm @ turn, normals=part.normals @ turn) for part in self.parts]
        return replace(self, parts=tuple(parts))


@dataclass(frozen=True)
class Scaling:
    """How large the model is: at most one size in cm, length running front to back; or the file's unit."""

    height_cm: float | None = None
    length_cm: float | None = None
    width_cm: float | None = None
    unit: str | None = None

    def stated(self) -> tuple[str, float] | None:
        """Return the name of the stated size and its value in cm.

        Raises
        ------
        InputError
            If two sizes are stated, one is not above zero, or the unit is unknown.
        """
        sizes = [(key, value) for key in _AXES if (value := getattr(self, key)) is not None]
        if len(sizes) > 1:
            found = " and ".join(f"{key} = {value:g}" for key, value in sizes)
            raise InputError(f"the subject has two sizes, {found}: keep one, the other follows from the mesh")
        if sizes and not 0 < sizes[0][1] < np.inf:
            raise InputError(f"{sizes[0][0]} is {sizes[0][1]:g}: a size has to be above 0 cm")
        if self.unit is not None and self.unit not in UNITS:
            raise InputError(f"unit is '{self.unit}'{nearest(self.unit, UNITS)}")
        return sizes[0] if sizes else None


def load_subject(
    path: Path, scaling: Scaling, *, up: str | None = None, front: str | None = None, faces_deg: float = 0.0
) -> Subject:
    """Return the model in a mesh file, scaled, upright and seated on the table.

    Parameters
    ----------
    path : Path
        STL, OBJ, PLY, GLB, glTF, 3MF or OFF.
    scaling : Scaling
        Its size or the file's unit; may be empty where the format states its unit.
    up : {"x", "y", "z", "-x", "-y", "-z"}, optional
        The file's axis that points up: else z, and y for GLB and glTF.
    front : same axes, optional
        The file's axis that the model's face looks along: else -y, and z where y is up.
    faces_deg : float
        Which way it faces: 0 looks at the camera, + turns it to camera right.

    Raises
    ------
    InputError
        If the file cannot be used or its size is not known.
    """
    path = Path(path)
    stated = scaling.stated()
    if up is not None:
        upright(up, front)  # a wrong axis is told before a long load
    mesh = read_mesh_file(path)
    rotation = upright(up or mesh.up, front)
    for piece in mesh.pieces:
        if found := fault(piece.vertices, piece.faces):
            raise InputError(f"{path.name}: part '{piece.name}' has {found}; repair the mesh or export it again")
    pieces = [replace(piece, vertices=piece.vertices @ rotation.T) for piece in mesh.pieces]
    extents = np.ptp(_bounds(piece.vertices[piece.faces.reshape(-1)] for piece in pieces), axis=0)
    if extents.max() <= 0:
        raise InputError(f"{path.name} has no size, all its points are in one place: export it again")
    factor, doubts = _cm_per_file_unit(path.name, mesh, scaling, stated, extents)
    size = extents.max() * factor
    if not _SMALLEST_CM <= size <= _LARGEST_CM:
        basis = f"{stated[0]} = {stated[1]:g}" if stated else f'unit = "{scaling.unit or mesh.unit}"'
        raise InputError(
            f"{path.name} would be {size:.3g} cm large with {basis}, where {_SMALLEST_CM:g} to "
            f"{_LARGEST_CM:g} cm can stand on a table: check that, or {_HOW_TO_SIZE}"
        )
    scaled = [replace(piece, vertices=piece.vertices * factor) for piece in pieces]
    return _seated(path.stem, scaled, [*mesh.notes, *doubts], path.name).turned(faces_deg)


def subject_from_parts(
    name: str,
    parts: Sequence[tuple[str, NDArray[Any], NDArray[Any]]],
    *,
    height_cm: float | None = None,
    faces_deg: float = 0.0,
) -> Subject:
    """Return a subject made of (name, vertices (n, 3) in cm, faces (m, 3)), z up, its front to -y.

    With ``height_cm`` it is scaled to that height; else it keeps its size.
    """
    pieces = [
        Piece(part, np.asarray(vertices, np.float64), np.asarray(faces, np.int64)) for part, vertices, faces in parts
    ]
    if height_cm is not None:
        height = np.ptp(_bounds(piece.vertices[piece.faces.reshape(-1)] for piece in pieces)[:, 2])
        pieces = [replace(piece, vertices=piece.vertices * (height_cm / height)) for piece in pieces]
    return _seated(name, pieces, [], name).turned(faces_deg)


def _cm_per_file_unit(
    file: str, mesh: MeshFile, scaling: Scaling, stated: tuple[str, float] | None, extents: Vector
) -> tuple[float, list[str]]:
    """Return the scale from the file's unit to cm, and a doubt where size and unit disagree."""
    by_unit = CM_PER_UNIT.get(scaling.unit or "")
    if stated is None:
        if by_unit is None and mesh.unit is None:
            raise InputError(f"{file} states no unit: {_HOW_TO_SIZE}")
        return by_unit or CM_PER_UNIT[str(mesh.unit)], []
    key, value = stated
    extent = extents[_AXES[key]]
    if extent <= 1e-9 * extents.max():
        word = key.removesuffix("_cm")
        raise InputError(
            f"{file} has no {word}, so {key} = {value:g} cannot scale it: state another size, or correct 'up'"
        )
    doubts = []
    if by_unit and abs(extent * by_unit / value - 1) > 0.01:
        doubts.append(f'{key} = {value:g} was used: with unit = "{scaling.unit}" it would be {extent * by_unit:.3g} cm')
    return float(value / extent), doubts


def _seated(name: str, pieces: Sequence[Piece], notes: list[str], file: str) -> Subject:
    """Return the subject of pieces in cm, cleaned, its lowest point on the table."""
    middle = _bounds(piece.vertices[piece.faces.reshape(-1)] for piece in pieces).mean(
        axis=0
    )  # near it, single precision is enough
    sound = []
    for piece in _uniquely_named(pieces):
        merged, kept, findings = cleaned(piece.vertices - middle, piece.faces)
        notes += [f"part '{piece.name}' {finding}" for finding in findings]
        if len(kept):
            sound.append(replace(piece, vertices=merged, faces=kept))
    if not sound:
        raise InputError(f"{file} has no triangle with an area: export it again")
    low, high = _bounds(piece.vertices for piece in sound)
    seat = np.array([*(low + high)[:2] / 2, low[2]])
    parts = []
    for piece in sound:
        vertices, normals, faces = split_normals(piece.vertices - seat, piece.faces)
        parts.append(Part(piece.name, vertices, normals, faces, piece.colour))
    return Subject(name, tuple(parts), tuple(notes))


def _uniquely_named(pieces: Sequence[Piece]) -> list[Piece]:
    taken: set[str] = set()
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


def _bounds(clouds: Iterable[NDArray[Any]]) -> Vector:
    ends = np.array([(cloud.min(axis=0), cloud.max(axis=0)) for cloud in clouds if len(cloud)], np.float64)
    return np.stack([ends[:, 0].min(axis=0), ends[:, 1].max(axis=0)])


def _centre(clouds: Iterable[NDArray[Any]]) -> Vector:
    return np.asarray(_bounds(clouds).mean(axis=0))
