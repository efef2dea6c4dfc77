"""The recesses of a subject, where a wash settles: ambient occlusion of its mesh at the width of engraved lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from materials.arrays import Array
from render.description.scene import Surface, part_surface
from render.images.store.container import ArraySpec
from render.images.store.keys import result_key
from render.images.store.store import Store
from scenes.mesh.triangles import areas
from scenes.subject.subject import Part, Subject
from scenes.text import listed
from scenes.units import M_PER_CM

REACH_WIDTHS: Final = 2.0
"""Distance from which surfaces no longer occlude, in widths of the lines."""
LEAST_OCCLUSION, FULL_OCCLUSION = 0.03, 0.3
"""Occlusion at which a wash begins to settle, and at which it covers fully: common practice, no source.

At the bottom of a V groove it is about .1 if that is a fifth as deep as wide, .25 if a third, .5 if half: lines are
covered, and folds and scales, which are shallow, in part.
"""
COARSE_WIDTHS: Final = 3.0
"""Width of a triangle, in widths of the lines, from which its recess fades: it is too coarse to have such a line."""
LEAST_COVERAGE: Final = 0.01
"""Of the subject's area, under which a wash is not seen."""
WIDEST_MM: Final = 5.0
MM_PER_CM: Final = 10.0


def with_recesses(subject: Subject, width_mm: float, store: Store) -> Subject:
    """Return the subject with `recess` on every part, for lines `width_mm` wide; computed once, then stored.

    On triangles much wider than the lines a wash would spread from a corner over the whole triangle: there the recess
    fades in proportion. A note says if a mesh is too coarse on most of its triangles, or if it has next to no such
    recess, and which width would find some.
    """
    recesses = _recesses(subject, width_mm, store)
    parts = tuple(replace(part, recess=recess) for part, recess in zip(subject.parts, recesses, strict=True))
    if _coverage(subject, recesses) < LEAST_COVERAGE:
        notes = [_none_note(subject, width_mm, store)]
    else:
        notes = _coarse_note([part.name for part in subject.parts if _is_coarse(part, width_mm)], width_mm)
    return replace(subject, parts=parts, notes=(*subject.notes, *notes))


def _recesses(subject: Subject, width_mm: float, store: Store) -> list[NDArray[np.float32]]:
    """Return the recess of each part at the corners of its triangles, (m, 3) from 0 to 1."""
    reach_m = REACH_WIDTHS * width_mm / MM_PER_CM * M_PER_CM
    occlusion = _stored_occlusion([part_surface(part) for part in subject.parts], reach_m, store)
    return [
        (_settling(at_vertices)[part.faces] / np.maximum(_coarseness(part, width_mm), 1.0)[:, None]).astype(np.float32)
        for part, at_vertices in zip(subject.parts, occlusion, strict=True)
    ]


def _settling(occlusion: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return how much of a wash settles, 0 to 1: a smooth step (3 x2 - 2 x3) between the two occlusions."""
    step = np.clip((occlusion - LEAST_OCCLUSION) / (FULL_OCCLUSION - LEAST_OCCLUSION), 0.0, 1.0)
    return np.asarray(step * step * (3 - 2 * step))


def _coverage(subject: Subject, recesses: Sequence[NDArray[np.float32]]) -> float:
    """Return the fraction of the subject's area that a wash of full strength covers."""
    sizes = [areas(part.vertices_cm, part.faces) for part in subject.parts]
    covered = sum(float(size @ recess.mean(axis=1)) for size, recess in zip(sizes, recesses, strict=True))
    return covered / max(float(sum(size.sum() for size in sizes)), 1e-12)


def _none_note(subject: Subject, width_mm: float, store: Store) -> str:
    """Return a note that a mesh has no recess of a width, with the next of twice the width and so on that it has."""
    widths = np.concatenate([_triangle_widths_cm(part) for part in subject.parts]) * MM_PER_CM
    triangles = f"whose triangles are {np.median(widths):.2g} mm wide"
    note = f"subject.wash: no recess {width_mm:g} mm wide on this mesh, {triangles}"
    wider = width_mm
    while wider < WIDEST_MM:
        wider = min(2 * wider, WIDEST_MM)
        coverage = _coverage(subject, _recesses(subject, wider, store))
        if coverage >= LEAST_COVERAGE:
            return f"{note}: width_mm = {wider:g} would cover {100 * coverage:.2g} % of it"
    return f"{note}, and none up to {WIDEST_MM:g} mm: a wash settles nowhere"


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


def _coarseness(part: Part, width_mm: float) -> Array:
    """Return the width of each triangle over that from which its recess fades, (m,)."""
    return _triangle_widths_cm(part) / (COARSE_WIDTHS * width_mm / MM_PER_CM)


def _is_coarse(part: Part, width_mm: float) -> bool:
    return bool((_coarseness(part, width_mm) > 1).mean() > 0.5)


def _triangle_widths_cm(part: Part) -> Array:
    """Return the width of each triangle across its longest edge, (m,) cm."""
    a, b, c = (part.vertices_cm[part.faces[:, i]].astype(np.float64) for i in range(3))
    longest = np.maximum.reduce([np.linalg.norm(edge, axis=1) for edge in (b - a, c - b, a - c)])
    return np.asarray(2 * areas(part.vertices_cm, part.faces) / np.maximum(longest, 1e-12))


def _coarse_note(names: list[str], width_mm: float) -> list[str]:
    if not names:
        return []
    return [f"subject.wash: the mesh is too coarse for lines of {width_mm:g} mm on most of {listed(names, 3)}"]
