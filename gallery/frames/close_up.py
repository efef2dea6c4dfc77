"""Close-ups: the camera framed on a part, and whether its fine lines can be seen there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

import numpy as np

from render.frame import Frame
from scenes.errors import InputError, nearest
from scenes.setups.placed import PlacedSetup
from scenes.stage.viewpoint import look_closer
from scenes.subject.subject import Subject

LINE_CM: Final = 0.02
"""Width of a fine panel line."""
COARSE_PX: Final = 12.0
FEW_TRIANGLES: Final = 20_000
"""A part of fewer triangles whose median edge is longer holds no fine lines."""
SAMPLES: Final = 4000
"""Points of the part's surface that the camera is framed on."""


def close_up(setup: PlacedSetup, detail: str, aspect: float | None) -> PlacedSetup:
    """Return a placed setup with the camera framed on the parts that match a wildcard; nothing else moves.

    Raises
    ------
    InputError
        Where no part matches.
    """
    if setup.subject is None or not setup.subject.matching(detail):
        known = {part.name for part in setup.subject.parts} if setup.subject else set()
        raise InputError(f"--detail {detail}: no part is called so{nearest(detail, known) if known else ''}")
    points = _detail_of(setup.subject, detail).surface_points(SAMPLES)
    return replace(setup, view=look_closer(setup.view, points, aspect), detail=detail, whole_view=setup.view)


def detail_facts(frame: Frame) -> dict[str, Any] | None:
    """Return the width of a 0.2 mm line and the median edge of the part's triangles, pixels; None for no close-up."""
    setup = frame.setup
    if setup.subject is None or setup.detail is None:
        return None
    detail = _detail_of(setup.subject, setup.detail)
    depth_cm = float(np.median(setup.view.project(detail.surface_points(SAMPLES))[:, 2]))
    pixels_per_cm = frame.rgb.shape[0] / (2 * setup.view.tan_half_height * depth_cm)
    corners = np.concatenate([part.vertices_cm[part.faces] for part in detail.parts])
    edges_cm = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)
    return {
        "part": setup.detail,
        "line_pixels": round(LINE_CM * pixels_per_cm, 2),
        "edge_pixels": round(float(np.median(edges_cm)) * pixels_per_cm, 2),
        "triangles": len(corners),
    }


def detail_lines(facts: dict[str, Any] | None) -> list[str]:
    """Return how wide a fine line is in a close-up, and a warning where the mesh is too coarse to hold any."""
    if facts is None:
        return []
    lines = [f"a {10 * LINE_CM:g} mm line is {facts['line_pixels']:.1f} pixels wide here"]
    if facts["edge_pixels"] > COARSE_PX and facts["triangles"] < FEW_TRIANGLES:
        lines.append(
            f"the mesh is too coarse for panel lines here: '{facts['part']}' has {facts['triangles']} triangles, "
            f"typically {facts['edge_pixels']:.0f} pixels long"
        )
    return lines


def _detail_of(subject: Subject, detail: str) -> Subject:
    return replace(subject, parts=subject.matching(detail))
