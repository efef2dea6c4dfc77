"""The geometry of a placed setup as plain data in SI, printable and hashable: the input of the kernel."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from materials.surface.finish import Finish
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.fingerprint import fingerprint
from scenes.geometry import axes_facing
from scenes.lifelong_cache import cached_for_life
from scenes.mesh.colour_map import ColourMap
from scenes.mesh.opacity_map import OpacityMap
from scenes.setups.placed import PlacedSetup
from scenes.subject.part_finishes import PartFinishes
from scenes.subject.subject import Part, Subject
from scenes.units import metres

from .surface_finish import WashLayer, surface_finish

Kind: TypeAlias = Literal["subject", "backdrop", "card"]


@dataclass(frozen=True, eq=False)
class Surface:
    """A triangle mesh of one finish.

    Parameters
    ----------
    vertices : (n, 3)
        m.
    normals : (n, 3)
        Unit vertex normals; None for flat shading.
    faces : (m, 3)
        Indices of vertices.
    colour_map
        Replaces the base colour of the finish.
    wash
        Covers the finish or the colour map.
    opacity_map
        Where light goes straight through all of it; None of a surface that is there everywhere.
    """

    name: str
    kind: Kind
    vertices: NDArray[np.float32]
    normals: NDArray[np.float32] | None
    faces: NDArray[np.int32]
    finish: Finish
    colour_map: ColourMap | None = None
    wash: WashLayer | None = None
    opacity_map: OpacityMap | None = None

    @property
    def is_see_through(self) -> bool:
        """Whether light goes straight through it, if only in places."""
        return self.finish.kind == "clear" or self.opacity_map is not None

    @cached_property
    def mesh_fingerprint(self) -> str:
        """A hash of its triangles, and of whether it is see-through."""
        return fingerprint((self.vertices, self.normals, self.faces, self.is_see_through))

    @cached_property
    def fingerprint(self) -> str:
        """A hash of everything about it."""
        optics = (self.finish, self.colour_map, self.wash, self.opacity_map)
        return fingerprint((self.name, self.kind, self.mesh_fingerprint, optics))


@dataclass(frozen=True, eq=False)
class Camera:
    """A pinhole camera: position (3,) in m, axes (3, 3) as columns right, up and forward, film size in pixels."""

    at: Array
    axes: Array
    tan_half_height: float
    width: int
    height: int

    @property
    def megapixels(self) -> float:
        """Number of pixels, in millions."""
        return self.width * self.height / 1e6

    def finer(self, factor: int) -> Camera:
        """Return the same camera with so many times the pixels along a side."""
        return replace(self, width=self.width * factor, height=self.height * factor)


@dataclass(frozen=True, eq=False)
class Geometry:
    """The surfaces that scatter light, and the camera. Lamps are not part of it, so that setups can share one."""

    surfaces: tuple[Surface, ...]
    camera: Camera

    @cached_property
    def mesh_fingerprint(self) -> str:
        """A hash of the triangles, and of which are see-through: the same for any other finishes."""
        return fingerprint(tuple(surface.mesh_fingerprint for surface in self.surfaces))

    @cached_property
    def fingerprint(self) -> str:
        """A hash of everything that a lamp image of it depends on, except the lamp."""
        return fingerprint((tuple(surface.fingerprint for surface in self.surfaces), self.camera))


@dataclass(frozen=True, eq=False)
class Meter:
    """An incident light meter: a point, or a rectangle around it.

    Parameters
    ----------
    at : (3,)
        Centre, m.
    axes : (3, 3)
        Columns: width, height, normal.
    half
        Half width and half height, m; 0 for a point.
    """

    at: Array
    axes: Array
    half: tuple[float, float]


def setup_geometry(setup: PlacedSetup, finishes: PartFinishes, width: int, height: int) -> Geometry:
    """Return the geometry of a placed setup, its camera with a film of `width` x `height` pixels."""
    view = setup.view
    camera = Camera(metres(view.at_cm), view.axes, view.tan_half_height, width, height)
    surfaces = list(subject_surfaces(setup.subject, finishes)) if setup.subject else []
    if setup.sweep is not None:
        vertices, normals, faces = setup.sweep.mesh()
        surfaces.append(Surface("sweep", "backdrop", _f32(metres(vertices)), normals, faces, setup.backdrop))
    surfaces.extend(_card_surface(card) for card in setup.cards)
    return Geometry(tuple(surfaces), camera)


def with_finishes(geometry: Geometry, setup: PlacedSetup, finishes: PartFinishes) -> Geometry:
    """Return the geometry of a placed setup with other finishes on its subject; the arrays of its meshes are shared."""
    finished = subject_surfaces(setup.subject, finishes) if setup.subject else ()
    return replace(geometry, surfaces=(*finished, *geometry.surfaces[len(finished) :]))


@cached_for_life
def subject_surfaces(subject: Subject, finishes: PartFinishes) -> tuple[Surface, ...]:
    """Return the surfaces of a subject's parts: setups that turn it alike share them, and all finishes its meshes."""
    return tuple(
        replace(mesh, **vars(surface_finish(part, finishes)))
        for mesh, part in zip(_meshes(subject), subject.parts, strict=True)
    )


@cached_for_life
def _meshes(subject: Subject) -> tuple[Surface, ...]:
    return tuple(part_surface(part) for part in subject.parts)


def meter_at(at_cm: Any, facing: Any, size_cm: tuple[float, float] | None = None) -> Meter:
    """Return a meter at a point, or one that averages over a rectangle of `size_cm` (width, height) around it."""
    width, height = metres(size_cm or (0.0, 0.0)) / 2
    return Meter(metres(at_cm), axes_facing(facing), (float(width), float(height)))


def part_surface(part: Part) -> Surface:
    """Return the mesh of a part, with a placeholder finish."""
    return Surface(part.name, "subject", _f32(metres(part.vertices_cm)), part.normals, part.faces, Finish.board(0.0))


def _card_surface(card: PlacedCard) -> Surface:
    half = metres(card.size_cm) / 2
    axes = axes_facing(card.facing)
    signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    vertices = metres(card.at_cm) + (signs * half) @ axes[:, :2].T
    faces = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
    return Surface(card.name, "card", _f32(vertices), None, faces, card.finish)


def _f32(values: Any) -> NDArray[np.float32]:
    return np.asarray(values, dtype=np.float32)
