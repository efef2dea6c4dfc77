"""The subject: a model's named parts, scaled, upright, seated on the table and turned the way it faces."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Vector
from scenes.errors import ArrangementError, nearest
from scenes.geometry import turned
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.opacity_map import OpacityMap
from scenes.mesh.triangles import areas, bounds

PLINTH = "plinth"
"""The name of the base under a model, which is no part of the model itself."""


@dataclass(frozen=True, eq=False)
class Part:
    """A named part in the table frame: vertices (n, 3) in cm, unit normals (n, 3), faces (m, 3).

    ``colour`` is "#rrggbb" where the file has one for the whole part, ``colour_map`` holds colours that differ over it.
    ``opacity_map`` says where light passes through it, None of an opaque one.
    ``recess`` is the coverage of a wash at each corner (m, 3), 0 to 1, where it was measured.
    """

    name: str
    vertices_cm: NDArray[np.float32]
    normals: NDArray[np.float32]
    faces: NDArray[np.int32]
    colour: str | None = None
    colour_map: ColourMap | None = None
    recess: NDArray[np.float32] | None = None
    material: str | None = None
    opacity_map: OpacityMap | None = None

    def matches(self, pattern: str) -> bool:
        """Return whether its name or that of its material matches a pattern: see `matches_pattern`."""
        return matches_pattern(self.name, pattern) or (
            self.material is not None and matches_pattern(self.material, pattern)
        )


@dataclass(frozen=True, eq=False)
class Subject:
    """A model on the table: origin under its centre, x to camera right, y away from the camera, z up, in cm.

    ``notes`` are sentences on what was repaired or is doubtful. ``on_plinth`` says whether the part "plinth" was added.
    ``unturned_size_cm`` is the largest dimension before it was turned, where it was. ``from_file_axes`` is the rotation
    (3, 3) from the axes of its file to the table's, its front to the camera; None of a model that came from no file.
    ``sized_by`` is the unit that its file states, "metres", where its size is known by that alone.
    """

    name: str
    parts: tuple[Part, ...]
    notes: tuple[str, ...] = ()
    on_plinth: bool = False
    unturned_size_cm: float | None = None
    from_file_axes: NDArray[np.float64] | None = None
    sized_by: str | None = None

    @cached_property
    def bounds_cm(self) -> Vector:
        """Lowest and highest corner (2, 3), cm."""
        return bounds(part.vertices_cm for part in self.parts)

    @cached_property
    def part_bounds_cm(self) -> Vector:
        """Lowest and highest corner of each part, (parts, 2, 3) cm."""
        return np.array([bounds([part.vertices_cm]) for part in self.parts])

    @property
    def model_parts(self) -> tuple[Part, ...]:
        """The parts of the model itself, without an added plinth."""
        return tuple(part for part in self.parts if not (self.on_plinth and part.name == PLINTH))

    @cached_property
    def model_bounds_cm(self) -> Vector:
        """Lowest and highest corner (2, 3) of the model itself, cm."""
        return bounds(part.vertices_cm for part in self.model_parts)

    @property
    def size_cm(self) -> float:
        """Largest dimension along the model's own axes, cm: the same however it is turned."""
        return self.unturned_size_cm or float(np.ptp(self.bounds_cm, axis=0).max())

    @property
    def height_cm(self) -> float:
        """Height, cm."""
        return float(np.ptp(self.bounds_cm[:, 2]))

    def matching(self, pattern: str) -> tuple[Part, ...]:
        """Return the parts whose name or material matches, with ``*`` and ``?`` as wildcards."""
        return tuple(part for part in self.parts if part.matches(pattern))

    def aim_cm(self, pattern: str | None = None) -> Vector:
        """Return the point (3,) that lamps and camera aim at, cm.

        The centre of the bounds of the parts that match. Without a pattern, the middle of the upper third
        of a standing model; of a flat one, lower than half its size, the centre.

        Raises
        ------
        ArrangementError
            If no part matches_pattern.
        """
        if pattern is not None:
            heroes = self.matching(pattern)
            if not heroes:
                near = nearest(pattern, {part.name for part in self.parts})
                raise ArrangementError(f'subject.hero = "{pattern}": no part of {self.name} is called so{near}')
            return _centre(part.vertices_cm for part in heroes)
        centre = _centre([self.bounds_cm])
        if self.height_cm < 0.5 * self.size_cm:
            return centre
        third = self.bounds_cm[1, 2] - self.height_cm / 3.0
        upper = [part.vertices_cm[part.vertices_cm[:, 2] >= third] for part in self.parts]
        centre[:2] = bounds(upper)[:, :2].mean(axis=0)
        centre[2] = self.bounds_cm[1, 2] - self.height_cm / 6.0
        return centre

    def surface_points(self, count: int) -> Vector:
        """Return ``count`` points (count, 3) distributed by area, cm; deterministic."""
        up_to = self._areas_up_to
        steps = (np.arange(count) + 0.5) / max(count, 1) * up_to[-1]
        face = np.minimum(np.searchsorted(up_to, steps), len(up_to) - 1)
        # additive recurrence on the plastic number: Roberts 2018, "R2"
        u, v = np.modf(np.outer([0.7548776662466927, 0.5698402909980532], np.arange(1, count + 1)))[0]
        u, v = np.where(u + v > 1, 1 - u, u)[:, None], np.where(u + v > 1, 1 - v, v)[:, None]
        first = np.cumsum([0, *(len(part.faces) for part in self.parts)])
        starts = np.searchsorted(face, first)  # they are in order, as the steps are
        chosen = [own - before for own, before in zip(np.split(face, starts[1:-1]), first[:-1], strict=True)]
        corners = [part.vertices_cm[part.faces[own]] for part, own in zip(self.parts, chosen, strict=True)]
        a, b, c = np.concatenate(corners).astype(np.float64).transpose(1, 0, 2)
        points: Vector = a + u * (b - a) + v * (c - a)
        return points

    @cached_property
    def tips_cm(self) -> Vector:
        """Vertices (26 a part, 3) that lie farthest along 13 lines both ways, cm: the ends of masts and guns."""
        lines = np.array(list(itertools.product((-1, 0, 1), repeat=3)), np.float32)[14:]
        tips = []
        for part in self.parts:
            for line in lines:
                along = part.vertices_cm @ line
                tips += [part.vertices_cm[along.argmin()], part.vertices_cm[along.argmax()]]
        return np.array(tips, np.float64)

    @cached_property
    def _areas_up_to(self) -> Vector:
        """The area of all faces up to each, (faces,) cm2, part after part."""
        return np.cumsum(np.concatenate([areas(part.vertices_cm, part.faces) for part in self.parts]))

    def turned(self, degrees: float) -> Subject:
        """Return the subject rotated about the vertical axis by degrees; positive turns its front to camera right."""
        if not degrees:
            return self
        parts = [
            replace(part, vertices_cm=turned(part.vertices_cm, degrees), normals=turned(part.normals, degrees))
            for part in self.parts
        ]
        return replace(self, parts=tuple(parts), unturned_size_cm=self.size_cm)


def matches_pattern(name: str, pattern: str) -> bool:
    """Return whether a name matches a pattern, ignoring case; ``*`` and ``?`` are wildcards, brackets are not."""
    return fnmatchcase(name.lower(), pattern.lower().replace("[", "[[]"))


def _centre(clouds: Iterable[NDArray[Any]]) -> Vector:
    return np.asarray(bounds(clouds).mean(axis=0))
