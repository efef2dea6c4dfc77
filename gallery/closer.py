"""Close-ups: the camera framed on a part, and what of its fine lines can be seen there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from render.description import Geometry
from scenes.errors import InputError, nearest
from scenes.placing import PlacedSetup
from scenes.viewpoint import look_closer

LINE_CM = 0.02
"""A fine panel line."""
COARSE_PX = 12.0
"""Of a triangle's edge: a mesh of longer ones holds no fine lines."""
SAMPLES = 4000


def closer(setup: PlacedSetup, detail: str, aspect: float | None) -> PlacedSetup:
    """Return a placed setup with the camera framed on the parts that a wildcard names; nothing else moves.

    Raises
    ------
    InputError
        Where no part answers to it.
    """
    parts = setup.subject.matching(detail) if setup.subject else ()
    if setup.subject is None or not parts:
        known = [part.name for part in setup.subject.parts] if setup.subject else []
        raise InputError(f"--detail {detail}: no part is called so{nearest(detail, known)}")
    points = replace(setup.subject, parts=parts).surface_points(SAMPLES)
    return replace(setup, view=look_closer(setup.view, points, aspect))


def detail_notes(setup: PlacedSetup, geometry: Geometry, detail: str) -> list[str]:
    """Return what a fine line measures in a close-up, and whether the mesh is too coarse to hold any."""
    parts = setup.subject.matching(detail) if setup.subject else ()
    if setup.subject is None or not parts:
        return []
    points = replace(setup.subject, parts=parts).surface_points(SAMPLES)
    depth_cm = float(np.median(setup.view.project(points)[:, 2]))
    pixels_a_cm = geometry.camera.height / (2 * setup.view.tan_half_height * depth_cm)
    notes = [f"a {10 * LINE_CM:g} mm line is {LINE_CM * pixels_a_cm:.1f} pixels wide here"]
    edges = np.concatenate([np.ptp(part.vertices_cm[part.faces], axis=1) for part in parts])
    edge_px = float(np.median(np.linalg.norm(edges, axis=1))) * pixels_a_cm
    if edge_px > COARSE_PX:
        notes.append(
            f"the mesh is too coarse here for panel lines: its triangles measure {edge_px:.0f} pixels, so what looks "
            "smooth may be engraved on the real model"
        )
    return notes
