"""Paths through a scene that gather, for many lamps at once, what each alone would send.

One path serves every lamp: at each vertex a point is drawn on each lamp, and where the path goes on by chance it is
seen which lamps it meets. The two ways are weighed by how likely each would have found the light (Veach 1997, power
heuristic). Lamps that share a path share its noise; what they are lit together with should have paths of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any, TypeAlias

from render.kernel.emitters.planar import Light
from render.kernel.surfaces.bsdf import Finishes, Met
from render.kernel.surfaces.transmittance import Panes

from .backend import mitsuba
from .loops import loop
from .sampler import Points
from .scene import Ray, Scene, Side, Vertex
from .wavelengths import Wavelengths

ROULETTE_DEPTH = 2
SURVIVAL, SURVIVAL_MOST = 10.0, 0.95  # chance to go on: this times what a path still carries, and at most
PAIRS_A_VERTEX, PAIRS_BEFORE = 3, 2
Gathered: TypeAlias = list[list[Any]]
"""What each lamp gave, lamp by wavelength."""


@dataclass
class Scattered:
    """The place of a path's last turn, the density of the direction that it took there, how far it has come since."""

    at: Any
    density: Any
    gone: Any


@dataclass
class Walk:
    """A path under way.

    The points and wavelengths that it has, the vertex where it is, what it carries at each wavelength, how many
    vertices lie behind it, and what it gathered. `scattered` is where it last took its direction by chance, with which
    density, and how far from there it is: past glass it goes straight on.
    """

    points: Points
    wavelengths: Wavelengths
    vertex: Vertex
    carried: list[Any]
    depth: Any
    active: Any
    gathered: Gathered
    scattered: Scattered


@dataclass
class Table:
    """What paths run in: the scene, its finishes and its lamps."""

    scene: Scene
    finishes: Finishes
    lights: Sequence[Light]

    @property
    def panes(self) -> Panes | None:
        """What is clear, None where nothing is."""
        return Panes(self.scene.glass, self.finishes) if self.scene.glass else None

    def nothing(self, wavelengths: Wavelengths) -> Gathered:
        """Return what a path has gathered before it begins."""
        return [[mitsuba().Float(0.0)] * wavelengths.count for _ in self.lights]

    def walk(self, start: Walk) -> Gathered:
        """Return what was gathered, with all that arrives at the start's vertex by any number of bounces added."""
        (end,) = loop((start,), lambda walk: walk.active, lambda walk: (self._step(walk),), label="path")
        return list(end.gathered)

    def _step(self, walk: Walk) -> Walk:
        """Return a path one vertex on."""
        import drjit as dr

        side = Side(walk.vertex)
        surface = dr.gather(mitsuba().UInt32, self.scene.surface_of_face, walk.vertex.face, walk.active)
        met = self.finishes.met(walk.vertex, surface, side.local(walk.vertex.back), walk.wavelengths, walk.active)
        gathered = self._lit(walk, side, met)
        choice, stay = walk.points.pair(_dimension(walk) + 1)
        out = met.drawn(choice, *walk.points.pair(_dimension(walk) + 2))
        shine = met.shine(out)
        chance = dr.select(shine.density > 0.0, dr.rcp(shine.density), 0.0)
        carried = [
            c * (first * shine.coloured + second * shine.shown) * chance
            for c, first, second in zip(walk.carried, met.first, met.second, strict=True)
        ]
        direction = side.world(out)
        scattered = Scattered(walk.vertex.leaving(direction), shine.density, mitsuba().Float(0.0))
        goes_on = shine.density > 0.0
        if self.scene.glass is not None:
            passes = met.is_clear & (choice >= met.chance)
            let = met.entering * dr.rcp(1.0 - met.chance)
            direction = dr.select(passes, -walk.vertex.back, direction)
            carried = [
                dr.select(passes, before * first * let, after)
                for before, first, after in zip(walk.carried, met.first, carried, strict=True)
            ]
            scattered = dr.select(passes, walk.scattered, scattered)
            goes_on |= passes
        onward = replace(walk, carried=carried, active=walk.active & goes_on, gathered=gathered, scattered=scattered)
        return self._onward(onward, direction, stay)

    def _lit(self, walk: Walk, side: Side, met: Met) -> Gathered:
        """Return what was gathered, with what the lamps send by way of this vertex: a point is drawn on each."""
        import drjit as dr

        first, second = (
            [c * r for c, r in zip(walk.carried, colour, strict=True)] for colour in (met.first, met.second)
        )
        u, v = walk.points.pair(_dimension(walk))
        after = []
        for light, gathered in zip(self.lights, walk.gathered, strict=True):
            aim = light.aim(walk.vertex.at, u, v)
            if aim is None:
                after.append(gathered)
                continue
            shine = met.shine(side.local(dr.normalize(aim.point - walk.vertex.at)))
            weight = aim.radiance * drawn_weight(aim.density, shine.density) / aim.density
            lit = walk.active & (weight * (shine.coloured + shine.shown) > 0.0)
            lit &= ~self.scene.solid.between(walk.vertex, aim.point, lit)
            weight = dr.select(lit, weight, 0.0)
            to_body, to_shine = self._past_glass(walk, aim.point, lit, (first, second))
            after.append(_added(_added(gathered, weight * shine.coloured, to_body), weight * shine.shown, to_shine))
        return after

    def _past_glass(self, walk: Walk, point: Any, lit: Any, light: tuple[list[Any], ...]) -> tuple[list[Any], ...]:
        """Return what is left of light from a point to the path's vertex once it passed what is clear between them."""
        if self.panes is None:
            return light
        share = self.panes.passed(walk.vertex, point, walk.wavelengths, lit)
        return tuple([value * s for value, s in zip(values, share, strict=True)] for values in light)

    def _onward(self, walk: Walk, direction: Any, stay: Any) -> Walk:
        """Return the path at its next vertex, with the lamps that it sees on the way; roulette ends faint ones."""
        import drjit as dr

        vertex, ray = self.scene.all.meet(walk.vertex.leaving(direction), direction, walk.active)
        scattered = walk.scattered
        end = scattered.gone + ray.distance
        gathered = self.seen(Ray(scattered.at, direction, end, scattered.gone), scattered.density, walk)
        depth = walk.depth + 1
        most = reduce(dr.maximum, walk.carried)
        survival = dr.select(depth >= ROULETTE_DEPTH, dr.minimum(SURVIVAL * most, SURVIVAL_MOST), 1.0)
        active = walk.active & ray.ends & (stay < survival)
        carried = [c * dr.rcp(survival) for c in walk.carried]
        scattered = replace(scattered, gone=end)
        return replace(
            walk, vertex=vertex, carried=carried, depth=depth, active=active, gathered=gathered, scattered=scattered
        )

    def seen(self, ray: Ray, density: Any, walk: Walk) -> Gathered:
        """Return what a path gathered, with the lamps that its ray sees; `density` is with which that was drawn."""
        import drjit as dr

        after = []
        for light, gathered in zip(self.lights, walk.gathered, strict=True):
            radiance, aimed = light.seen(ray)
            weight = dr.select((radiance > 0.0) & walk.active, radiance * met_weight(density, aimed), 0.0)
            after.append(_added(gathered, weight, walk.carried))
        return after


def _dimension(walk: Walk) -> Any:
    return PAIRS_BEFORE + PAIRS_A_VERTEX * walk.depth


def drawn_weight(aimed: Any, density: Any) -> Any:
    """Return the weight of light found by a point drawn on a lamp, where the path would go with `density`."""
    import drjit as dr

    return dr.rcp(1.0 + dr.square(density / aimed))


def met_weight(density: Any, aimed: Any) -> Any:
    """Return the weight of light that a path meets, where a point on the lamp is drawn with `aimed`."""
    import drjit as dr

    return dr.rcp(1.0 + dr.square(aimed / density))


def _added(gathered: list[Any], weight: Any, light: list[Any]) -> list[Any]:
    import drjit as dr

    return [dr.fma(weight, new, before) for new, before in zip(light, gathered, strict=True)]
