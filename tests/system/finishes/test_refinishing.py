"""Another finish keeps the mesh that was handed to the renderer."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from gallery.frames.shots import shots_of
from gallery.inputs import open_input
from render.description.scene import Surface
from render.images.jobs import take_frames
from render.images.store.store import Store
from render.images.tracing import Tracing
from render.kernel import triangle_mesh


def test_a_strip_of_finishes_builds_the_mesh_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    built: list[int] = []
    merged_mesh = triangle_mesh._merged_mesh

    def counted(surfaces: Sequence[Surface]) -> Any:
        built.append(len(surfaces))
        return merged_mesh(surfaces)

    monkeypatch.setattr(triangle_mesh, "_merged_mesh", counted)
    opened = open_input(Path("stand-in:spoon"), {})
    shots = shots_of(opened, ["rembrandt"], ["matt", "satin", "gloss"], (45, 60))
    frames = dict(take_frames(shots, Tracing(Store(tmp_path)), 1))
    assert len(frames) == 3
    assert len({shot.geometry.fingerprint for shot in shots}) == 3
    assert built == [1, len(shots[0].geometry.surfaces)]  # the bare sheet, for the meters, and the model on it
    vertices = {id(surface.vertices) for shot in shots for surface in shot.geometry.surfaces}
    assert len(vertices) == len(shots[0].geometry.surfaces)
