"""A placed setup as plain data in SI: what the kernel traces, printable and hashable, with no renderer in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from materials.surface.finish import Finish
from scenes.arrangement.card_model import CardModel
from scenes.fingerprint import fingerprint
from scenes.geometry import axes_facing
from scenes.mesh.paint import Paint
from scenes.setups.placed import PlacedSetup
from scenes.subject.part_finishes import PartFinishes
from scenes.subject.subject import Part
from scenes.units import metres

from .surface_finish import Washed, surface_finish

Kind: TypeAlias = Literal["subject", "backdrop", "card"]


@dataclass(frozen=True, eq=False)
class Surface:
    """Triangles of one finish: vertices (n, 3) in m, normals (n, 3) or none for flat faces, faces (m, 3).

    Where there is `paint`, its colours stand in for the base of the finish; `washed` covers either.
    """

    name: str
    kind: Kind
    vertices: NDArray[np.float32]
    normals: NDArray[np.float32] | None
    faces: NDArray[np.int32]
    finish: Finish
    paint: Paint | None = None
    washed: Washed | None = None


@dataclass(frozen=True, eq=False)
class Camera:
    """A pinhole: where it is (m), its axes as columns (right, up, into the picture), its film in pixels."""

    at: Array
    axes: Array
    tan_half_height: float
    width: int
    height: int


@dataclass(frozen=True, eq=False)
class Geometry:
    """What light travels among: no lamps, since they are light and not furniture."""

    surfaces: tuple[Surface, ...]
    camera: Camera

    @cached_property
    def shape(self) -> str:
        """A hash of its triangles alone, which stays when finishes change."""
        return fingerprint(tuple((s.vertices, s.normals, s.faces, s.finish.kind == "clear") for s in self.surfaces))

    @cached_property
    def fingerprint(self) -> str:
        """A hash of everything that a picture of it depends on."""
        looks = tuple((s.name, s.kind, s.finish, s.paint, s.washed) for s in self.surfaces)
        return fingerprint((self.shape, looks, self.camera))


@dataclass(frozen=True, eq=False)
class Meter:
    """An incident light meter: a point (m), or a parallelogram about it by its half edges, facing the third axis."""

    at: Array
    axes: Array
    half: tuple[float, float]


def describe(setup: PlacedSetup, finishes: PartFinishes, width: int, height: int) -> Geometry:
    """Return the geometry of a placed setup as seen on `width` x `height` pixels."""
    view = setup.view
    camera = Camera(metres(view.at_cm), view.axes, view.tan_half_height, width, height)
    surfaces = [part_surface(part) for part in (setup.subject.parts if setup.subject else ())]
    if setup.sweep is not None:
        vertices, normals, faces = setup.sweep.mesh()
        surfaces.append(Surface("sweep", "backdrop", _f32(metres(vertices)), normals, faces, setup.backdrop))
    surfaces.extend(_card_surface(card) for card in setup.cards)
    return refinished(Geometry(tuple(surfaces), camera), setup, finishes)


def refinished(geometry: Geometry, setup: PlacedSetup, finishes: PartFinishes) -> Geometry:
    """Return the geometry of a placed setup with the parts of its subject finished so; its triangles are shared."""
    parts = setup.subject.parts if setup.subject else ()
    finished = [
        replace(surface, **vars(surface_finish(part, finishes)))
        for surface, part in zip(geometry.surfaces, parts, strict=False)
    ]
    return replace(geometry, surfaces=(*finished, *geometry.surfaces[len(finished) :]))


def describe_meter(at_cm: Any, facing: Any, size_cm: tuple[float, float] | None = None) -> Meter:
    """Return a meter at a point in cm, or averaged over an area of `size_cm`."""
    width, height = metres(size_cm or (0.0, 0.0)) / 2
    return Meter(metres(at_cm), axes_facing(facing), (float(width), float(height)))


def part_surface(part: Part) -> Surface:
    """Return a part's triangles in metres, not finished yet."""
    return Surface(part.name, "subject", _f32(metres(part.vertices_cm)), part.normals, part.faces, Finish.board(0.0))


def _card_surface(card: CardModel) -> Surface:
    half = metres(card.size_cm) / 2
    axes = axes_facing(card.facing)
    signs = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    vertices = metres(card.at_cm) + (signs * half) @ axes[:, :2].T
    faces = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
    return Surface(card.name, "card", _f32(vertices), None, faces, card.finish)


def _f32(values: Any) -> NDArray[np.float32]:
    return np.asarray(values, dtype=np.float32)
