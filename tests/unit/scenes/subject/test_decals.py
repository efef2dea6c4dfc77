"""Decals are lifted out of the surface that they lie in, and no others."""

from __future__ import annotations

import numpy as np
import pytest

from scenes.mesh.opacity_map import OpacityMap
from scenes.subject.decals import LIFTED_CM, with_lifted_decals
from scenes.subject.subject import Part

FACES = np.array([[0, 1, 2], [0, 2, 3]], np.int32)
BOARD = np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]], np.float32)


def sheet(height_cm: float, size: float, *, upwards: bool = True, tilt: float = 0.0, opacity: bool = True) -> Part:
    """Return a square decal over the table, tilted by so much from end to end."""
    vertices = size * BOARD + [0, 0, height_cm] + BOARD[:, :1] * [0, 0, tilt / 2]
    normals = np.tile(np.array([0, 0, 1 if upwards else -1], np.float32), (4, 1))
    faces = FACES if upwards else FACES[:, ::-1]
    opacity_map = OpacityMap.uniform(0.5, 2) if opacity else None
    return Part("decal", vertices.astype(np.float32), normals, faces, opacity_map=opacity_map)


def table() -> Part:
    return Part("hull", 5 * BOARD, np.tile(np.array([0, 0, 1], np.float32), (4, 1)), FACES)


@pytest.mark.parametrize("upwards", [True, False])
@pytest.mark.parametrize("height_cm", [0.0, -0.004, 0.0004])
def test_a_decal_in_a_surface_is_lifted_out_of_it(height_cm: float, upwards: bool) -> None:
    """Wound either way: out is where the surface below it faces."""
    parts, findings = with_lifted_decals([table(), sheet(height_cm, 1.0, upwards=upwards)])
    np.testing.assert_allclose(parts[1].vertices_cm[:, 2], LIFTED_CM, atol=1e-6)
    assert findings == [("decal", "lies in the surface of 'hull' and was lifted out of it")]


def test_a_decal_partly_sunk_is_lifted_as_a_whole() -> None:
    parts, _ = with_lifted_decals([table(), sheet(0.0, 1.0, tilt=0.01)])
    assert -0.0005 < parts[1].vertices_cm[:, 2].min() < LIFTED_CM
    assert np.ptp(parts[1].vertices_cm[:, 2]) == pytest.approx(0.01, rel=1e-4)


@pytest.mark.parametrize(
    "part",
    [sheet(0.002, 1.0), sheet(0.0, 1.0, opacity=False), sheet(-0.5, 1.0), sheet(0.5, 1.0), sheet(0.0, 1.0, tilt=2.0)],
)
def test_what_lies_above_or_crosses_or_is_opaque_stays(part: Part) -> None:
    parts, findings = with_lifted_decals([table(), part])
    assert parts[1] is part
    assert findings == []
