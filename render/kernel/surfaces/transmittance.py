"""Clear surfaces between a point and a lamp: light passes them straight on, weaker and in their colour."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from render.kernel.backend import mitsuba
from render.kernel.loops import loop
from render.kernel.scene import Glass, Side, Vertex
from render.kernel.wavelengths import Wavelengths

from .bsdf import Finishes

MOST_SURFACES = 16


@dataclass(frozen=True)
class Panes:
    """The clear surfaces of a scene, with their finishes."""

    glass: Glass
    finishes: Finishes

    def passed(self, vertex: Vertex, point: Any, wavelengths: Wavelengths, active: Any) -> list[Any]:
        """Return the part of the light of each wavelength that comes from a point to a vertex past all of them."""
        return _passed(self, vertex, point, wavelengths, active)


def _passed(panes: Panes, vertex: Vertex, point: Any, wavelengths: Wavelengths, active: Any) -> list[Any]:
    import drjit as dr

    mi = mitsuba()
    across = point - vertex.at
    far = dr.norm(across)
    towards = across / far

    def one(count: Any, at: Vertex, left: Any, share: list[Any], going: Any) -> tuple[Any, ...]:
        origin = at.leaving(towards)
        pane, ray = panes.glass.triangles.meet(origin, towards, going)
        left = left - ray.distance
        going = going & ray.ends & (left > 0.0) & (count < MOST_SURFACES)
        surface = dr.gather(mi.UInt32, panes.glass.surface_of_face, pane.face, going)
        cosine = Side(pane).local(pane.back).z
        passing = panes.finishes.passed(surface, cosine, wavelengths, going)
        share = [dr.select(going, s * p, s) for s, p in zip(share, passing, strict=True)]
        return count + 1, replace(pane, at=dr.select(going, pane.at, at.at)), left, share, going

    start = (mi.UInt32(0), vertex, far, [mi.Float(1.0)] * wavelengths.count, mi.Bool(active))
    *_, share, _ = loop(start, lambda *state: state[-1], one, label="glass")
    return list(share)
