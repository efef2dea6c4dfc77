"""What takes up room on the table: lamps and cards as sampled points and triangles, and the model's triangles."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import trimesh
from scipy.spatial import cKDTree

from materials.arrays import Array
from scenes.arrangement.cards.placed_card import PlacedCard
from scenes.setups.placed import PlacedLamp
from scenes.subject.subject import Subject

from .rays import are_crossed

EDGE_CM: Final = 0.25
"""Between neighbouring points of an edge; larger bodies have at most `MOST_EDGE` points a side."""
MOST_EDGE: Final = 120
INNER: Final = 13
"""Points a side inside a board, rings inside a disc."""
AROUND: Final = 64
"""Corners of the polygon that a disc is."""
MODEL_POINTS: Final = 20_000
EXACT: Final = 12
"""Points of a body, the nearest to the model, whose distance is taken from the triangles themselves."""
OPPOSITE: Final = 100
"""Points of the model, those opposite them, whose distance is taken from the body."""
SPACING_CM: Final = 3.0
"""More than a point of the model is away from the nearest that was drawn."""


@dataclass(frozen=True, eq=False)
class Body:
    """A lamp or a card: points (n, 3) on it, its triangles (m, 3, 3), its outline (k, 3) if it is flat; cm."""

    name: str
    centre: Array
    points: Array
    triangles: Array
    outline: Array
    radius: float | None = None
    """Of a ball."""

    def distances(self, points: Array) -> Array:
        """Return the distances (n,) of points (n, 3) from it, negative inside a ball."""
        if self.radius is not None:
            return np.asarray(np.linalg.norm(points - self.centre, axis=1) - self.radius)
        return distances_to_triangles(points, self.triangles)

    def gap(self, other: Body) -> float:
        """Return its distance from another body, 0 where one crosses the other."""
        for one, two in ((self, other), (other, self)):
            if one.radius is None and two.radius is None:
                edges = are_crossed(one.outline, np.roll(one.outline, -1, axis=0), two.triangles)
                if edges.any():
                    return 0.0
        return max(0.0, float(min(self.distances(other.points).min(), other.distances(self.points).min())))


@dataclass(frozen=True, eq=False)
class Solid:
    """The model: its triangles (n, 3, 3), cm."""

    triangles: Array

    @cached_property
    def points(self) -> Array:
        """Points all over it: drawn by area, with a fixed seed, and its corners where they are few."""
        mesh = trimesh.Trimesh(self.triangles.reshape(-1, 3), np.arange(3 * len(self.triangles)).reshape(-1, 3))
        drawn = np.asarray(trimesh.sample.sample_surface(mesh, MODEL_POINTS, seed=1)[0])
        return np.concatenate([drawn, self.triangles.reshape(-1, 3)]) if len(self.triangles) < MODEL_POINTS else drawn

    def distance(self, body: Body, enough: float) -> float:
        """Return the distance of a body's surface from the model's, cm: exact where it may be less than enough."""
        near, which = self._tree.query(body.points)
        if near.min() > enough + SPACING_CM:
            return float(near.min())
        order = np.argsort(near)
        exact = [self._distance_of(body.points[i], near[i]) for i in order[:EXACT]]
        return float(min(*exact, body.distances(self.points[which[order[:OPPOSITE]]]).min()))

    def encloses(self, point: Array) -> bool:
        """Return whether the model is in the way from a point to all sides but down."""
        steps = np.arange(40) + 0.5
        height, turn = steps / 40, steps * np.pi * (3 - np.sqrt(5))
        across = np.sqrt(1 - height**2)
        ways = np.column_stack([across * np.cos(turn), across * np.sin(turn), height])
        low, high = self.triangles.min(axis=(0, 1)), self.triangles.max(axis=(0, 1))
        if not ((low < point) & (point < high)).all():
            return False
        return bool(are_crossed(point[None], point + ways * np.linalg.norm(high - low), self.triangles).all())

    def _distance_of(self, point: Array, bound: float) -> float:
        centres, reach = self._spheres
        near = self.triangles[np.linalg.norm(centres - point, axis=1) - reach <= bound + 1e-6]
        return float(distances_to_triangles(point[None], near)[0])

    @cached_property
    def _spheres(self) -> tuple[Array, Array]:
        centres = self.triangles.mean(axis=1)
        return centres, np.linalg.norm(self.triangles - centres[:, None], axis=2).max(axis=1)

    @cached_property
    def _tree(self) -> cKDTree:
        return cKDTree(self.points)


def distances_to_triangles(points: Array, triangles: Array) -> Array:
    """Return the distances (n,) of points (n, 3) from the nearest of triangles (m, 3, 3)."""
    pairs = np.repeat(points, len(triangles), axis=0), np.tile(triangles, (len(points), 1, 1))
    nearest = trimesh.triangles.closest_point(pairs[1], pairs[0])
    apart = np.linalg.norm(nearest - pairs[0], axis=1).reshape(len(points), len(triangles))
    return np.asarray(apart.min(axis=1))


def solid_of(subject: Subject) -> Solid:
    """Return the model on the table."""
    return Solid(np.concatenate([part.vertices_cm[part.faces] for part in subject.parts]).astype(np.float64))


def lamp_body(lamp: PlacedLamp) -> Body:
    """Return the body of a lamp where it is placed."""
    model, at = lamp.lamp.model, np.asarray(lamp.place.at_cm, float)
    name = f"lamp '{lamp.role}' ({lamp.name})"
    if model.kind == "bulb":
        radius = _extent_cm(lamp)[0] / 2
        ball = trimesh.creation.icosphere(subdivisions=2, radius=radius)
        points = at + np.concatenate([ball.vertices, radius * np.eye(3), -radius * np.eye(3)])
        return Body(name, at, points, ball.triangles + at, points, radius)
    facing = np.asarray(lamp.place.aim_cm, float) - at
    if model.kind == "panel":
        return _board(name, at, facing, _extent_cm(lamp))
    return _disc(name, at, facing, _extent_cm(lamp)[0] / 2, (model.hole_cm or 0.0) / 2)


def _extent_cm(lamp: PlacedLamp) -> tuple[float, float]:
    """Return the level and the other side of a lamp."""
    shorter, longer = sorted(lamp.lamp.extent_cm)
    return (shorter, longer) if lamp.place.upright else (longer, shorter)


def card_body(card: PlacedCard) -> Body:
    """Return the body of a card where it is placed."""
    return _board(f"card '{card.name}'", np.asarray(card.at_cm, float), np.asarray(card.facing, float), card.size_cm)


def _axes(facing: Array) -> tuple[Array, Array]:
    """Return the level and the other direction in the plane of a board."""
    normal = facing / np.linalg.norm(facing)
    level = np.cross([0.0, 0.0, 1.0], normal)
    level = np.array([1.0, 0.0, 0.0]) if np.linalg.norm(level) < 1e-6 else level / np.linalg.norm(level)
    return level, np.cross(normal, level)


def _board(name: str, at: Array, facing: Array, size_cm: tuple[float, float]) -> Body:
    across, along = _axes(facing)
    width, height = (size / 2 for size in size_cm)
    corners = np.array([[-width, -height], [width, -height], [width, height], [-width, height]])
    edges = [_between(one, other) for one, other in zip(corners, np.roll(corners, -1, axis=0), strict=True)]
    inner = np.stack(np.meshgrid(*(np.linspace(-half, half, INNER) for half in (width, height))), axis=-1)
    spread = np.array([across, along])
    flat = at + np.concatenate([*edges, inner.reshape(-1, 2)]) @ spread
    outline = at + corners @ spread
    return Body(name, at, flat, outline[[[0, 1, 2], [0, 2, 3]]], outline)


def _disc(name: str, at: Array, facing: Array, outer: float, inner: float) -> Body:
    spread = np.array(_axes(facing))
    turn = np.linspace(0, 2 * np.pi, AROUND, endpoint=False)
    ring = np.column_stack([np.cos(turn), np.sin(turn)]) @ spread
    points = np.concatenate([at + radius * ring for radius in np.linspace(inner, outer, INNER)])
    out, hole = at + outer * ring, at + inner * ring
    after_out, after_hole = np.roll(out, -1, axis=0), np.roll(hole, -1, axis=0)
    triangles = np.concatenate([np.stack([out, after_out, hole], 1), np.stack([after_out, after_hole, hole], 1)])
    areas = np.linalg.norm(np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]), axis=1)
    return Body(name, at, points, triangles[areas > 0], out)


def _between(one: Array, other: Array) -> Array:
    length = float(np.linalg.norm(other - one))
    share = np.linspace(0, 1, min(MOST_EDGE, 2 + int(length / EDGE_CM)))[:, None]
    return np.asarray(one + share * (other - one))
