"""Batches of shots that fit into memory, and of receptors whose lamps share paths."""

from __future__ import annotations

from typing import Any, cast

import numpy as np

from render.description.scene import Geometry, meter_at
from render.images import jobs
from render.images.passes.sealing import sealed_bytes
from render.shot import Shot
from scenes.lamps.emitter_shape import EmitterShape
from tests.support.light import CAMERA


def lamp(x: float) -> EmitterShape:
    return EmitterShape("panel", np.array([x, 0.0, 0.0]), np.eye(3), (0.1, 0.1))


class Lit:
    """A shot as far as batches know it."""

    def __init__(self, *lamps: EmitterShape, geometry: Geometry | None = None) -> None:
        self.emitter_shapes = lamps
        self.geometry = self.bare_geometry = geometry or Geometry((), CAMERA)
        self.receptors = tuple(meter_at(100 * lamp.at, (0.0, 0.0, 1.0)) for lamp in lamps)


A, B, C, D = (lamp(x) for x in range(4))


def test_shots_of_one_geometry_are_taken_together_as_far_as_memory_holds_their_images(monkeypatch: Any) -> None:
    first, second = Geometry((), CAMERA), Geometry((), CAMERA)
    object.__setattr__(second, "fingerprint", "another")
    shots = [Lit(A, geometry=first), Lit(B, geometry=second), Lit(B, A, geometry=first), Lit(C, D, geometry=first)]
    batches = jobs._batches(cast(list[Shot], shots))
    assert list(batches) == [[0, 2, 3], [1]]
    monkeypatch.setattr(jobs, "BATCH_BYTES", 2 * sealed_bytes(CAMERA))
    assert list(jobs._batches(cast(list[Shot], shots))) == [[0, 2], [3], [1]]


def test_receptors_of_one_bare_table_are_measured_together_while_their_lamps_share_paths_and_each_setup_once() -> None:
    first, second = Geometry((), CAMERA), Geometry((), CAMERA)
    object.__setattr__(second, "fingerprint", "another")
    many = [lamp(x) for x in range(10, 10 + jobs.LAMPS_TOGETHER)]
    shots = [Lit(A, geometry=first), Lit(A, geometry=second), Lit(A, geometry=first), Lit(A, B, geometry=first)]
    shots += [Lit(*many, geometry=first)]
    batches = list(jobs._receptor_batches(cast(list[Shot], shots)))
    assert [[shots.index(cast(Any, shot)) for shot in batch] for batch in batches] == [[0, 3], [4], [1]]
