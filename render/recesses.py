"""The recesses of a subject, where a wash settles: ambient occlusion of its mesh at the width of engraved lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from render.description.scene import Surface, part_surface
from render.images.container import ArraySpec
from render.images.keys import result_key
from render.images.store import Store
from scenes.mesh.triangles import areas
from scenes.subject.subject import Part, Subject
from scenes.text import listed
from scenes.units import M_PER_CM

REACH_WIDTHS: Final = 2.0
"""Distance from which surfaces no longer occlude, in widths of the lines."""
LEAST_OCCLUSION, FULL_OCCLUSION = 0.15, 0.7
"""Occlusion at which a wash begins to settle, and at which it covers fully: common practice, no source.

At the bottom of a groove it is about .5 if the groove is half as deep as wide, .8 if twice as deep as wide.
"""
COARSE_WIDTHS: Final = 3.0
"""Width of a triangle, in widths of the lines, from which its recess fades: it is too coarse to have such a line."""
MM_PER_CM: Final = 10.0


def with_recesses(subject: Subject, width_mm: float, store: Store) -> Subject:
    """Return the subject with `recess` on every part, for lines `width_mm` wide; computed once, then stored.

    On triangles much wider than the lines a wash would spread from a corner over the whole triangle: there the recess
    fades in proportion, and a note says if a mesh is too coarse on most of its triangles.
    """
    width_cm = width_mm / MM_PER_CM
    surfaces = [part_surface(part) for part in subject.parts]
    occlusion = _stored_occlusion(surfaces, REACH_WIDTHS * width_cm * M_PER_CM, store)
    parts, coarse_parts = [], []
    for part, at_vertices in zip(subject.parts, occlusion, strict=True):
        coarseness = _triangle_widths_cm(part) / (COARSE_WIDTHS * width_cm)
        if (coarseness > 1).mean() > 0.5:
            coarse_parts.append(part.name)
        fading = np.minimum(1.0, 1.0 / np.maximum(coarseness, 1e-6))[:, None]
        parts.append(replace(part, recess=(_settling(at_vertices)[part.faces] * fading).astype(np.float32)))
    return replace(subject, parts=tuple(parts), notes=(*subject.notes, *_coarse_note(coarse_parts, width_mm)))


def _settling(occlusion: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return how much of a wash settles, 0 to 1: a smooth step (3 x2 - 2 x3) between the two occlusions."""
    step = np.clip((occlusion - LEAST_OCCLUSION) / (FULL_OCCLUSION - LEAST_OCCLUSION), 0.0, 1.0)
    return np.asarray(step * step * (3 - 2 * step))


def _stored_occlusion(surfaces: Sequence[Surface], reach_m: float, store: Store) -> list[NDArray[np.float32]]:
    """Return `kernel.ambient_occlusion.vertex_occlusion`, from the store or computed and stored."""
    key = result_key("ambient-occlusion", reach_m, tuple((s.vertices, s.normals, s.faces) for s in surfaces))
    ends = np.cumsum([len(surface.vertices) for surface in surfaces])
    stored = store.load(key, {"occlusion": ArraySpec("float32", (int(ends[-1]),))})
    if stored is None:
        from render.kernel.ambient_occlusion import vertex_occlusion

        stored = {"occlusion": np.concatenate(vertex_occlusion(surfaces, reach_m))}
        store.save(key, **stored)
    return np.split(stored["occlusion"], ends[:-1])


def _triangle_widths_cm(part: Part) -> Array:
    """Return the width of each triangle across its longest edge, (m,) cm."""
    a, b, c = (part.vertices_cm[part.faces[:, i]].astype(np.float64) for i in range(3))
    longest = np.maximum.reduce([np.linalg.norm(edge, axis=1) for edge in (b - a, c - b, a - c)])
    return np.asarray(2 * areas(part.vertices_cm, part.faces) / np.maximum(longest, 1e-12))


def _coarse_note(names: list[str], width_mm: float) -> list[str]:
    if not names:
        return []
    return [f"subject.wash: the mesh is too coarse for lines of {width_mm:g} mm on most of {listed(names, 3)}"]
