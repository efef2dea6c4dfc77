"""Where a wash settles on a subject: measured on its mesh, by how shut in each corner is at the width of the lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from render.description.scene import Surface, part_surface
from render.images.container import Form
from render.images.keys import result_key
from render.images.store import Store
from scenes.mesh.triangles import areas
from scenes.subject.subject import Part, Subject
from scenes.text import listed
from scenes.units import M_PER_CM

REACH: Final = 2.0
"""In widths of the lines: what stands farther off shuts nothing in."""
OPEN, FULL = 0.15, 0.7
"""The share of directions blocked from which on a wash begins to settle, and where it covers: common practice, no
source; the bottom of a groove as deep as half its width has .5, of one twice as deep .8."""
COARSE: Final = 3.0
"""In widths of the lines: a triangle wider than this holds no such line, and what is in its corners stays there."""
MM_PER_CM: Final = 10.0


def with_recesses(subject: Subject, width_mm: float, store: Store) -> Subject:
    """Return the subject with `recess` on every part, for lines of a width: measured once, then as it is stored.

    Where triangles are much wider than the lines a corner's wash would run out over all of the triangle: it is let fade
    by as much, and a note says that the mesh is too coarse there.
    """
    width_cm = width_mm / MM_PER_CM
    shares = _vertex_occlusion([part_surface(part) for part in subject.parts], REACH * width_cm * M_PER_CM, store)
    parts, coarse = [], []
    for part, share in zip(subject.parts, shares, strict=True):
        depth = np.clip((share - OPEN) / (FULL - OPEN), 0.0, 1.0)
        depth = (depth * depth * (3 - 2 * depth))[part.faces]
        wide = _least_width_cm(part) / (COARSE * width_cm)
        if (wide > 1).mean() > 0.5:
            coarse.append(part.name)
        fading = np.minimum(1.0, 1.0 / np.maximum(wide, 1e-6))[:, None]
        parts.append(replace(part, recess=(depth * fading).astype(np.float32)))
    return replace(subject, parts=tuple(parts), notes=(*subject.notes, *_coarse_note(coarse, width_mm)))


def _vertex_occlusion(surfaces: Sequence[Surface], reach_m: float, store: Store) -> list[NDArray[np.float32]]:
    """Return what `kernel.ambient_occlusion.vertex_occlusion` does; measures it only where the store lacks it."""
    key = result_key("recesses", reach_m, tuple((s.vertices, s.normals, s.faces) for s in surfaces))
    ends = np.cumsum([len(surface.vertices) for surface in surfaces])
    stored = store.load(key, {"shares": Form("float32", (int(ends[-1]),))})
    if stored is None:
        from render.kernel.ambient_occlusion import vertex_occlusion

        stored = {"shares": np.concatenate(vertex_occlusion(surfaces, reach_m))}
        store.save(key, **stored)
    return np.split(stored["shares"], ends[:-1])


def _least_width_cm(part: Part) -> NDArray[np.float64]:
    """Return how wide each triangle is across its longest edge, (m,) cm."""
    a, b, c = (part.vertices_cm[part.faces[:, i]].astype(np.float64) for i in range(3))
    longest = np.maximum.reduce([np.linalg.norm(edge, axis=1) for edge in (b - a, c - b, a - c)])
    return np.asarray(2 * areas(part.vertices_cm, part.faces) / np.maximum(longest, 1e-12))


def _coarse_note(names: list[str], width_mm: float) -> list[str]:
    if not names:
        return []
    return [f"subject.wash: the mesh is too coarse for lines of {width_mm:g} mm on most of {listed(names, 3)}"]
