"""Colours that mesh files bring along: a picture comes out the right way up and in its colours, from every format."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray
from PIL import Image

from materials.colour.srgb import XYZ_TO_LINEAR_SRGB, srgb_decode
from materials.light.observer import D65
from materials.light.spectra import photometric_value
from render.description.scene import Camera, Geometry, setup_geometry
from render.images.bands import xyz_weights
from render.kernel.trace import Tracer
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.reading import fill_model
from scenes.lamps.emitter_shape import ROOM
from scenes.subject.part_finishes import PartFinishes
from scenes.subject.subject import Subject
from tests.support.arrangements import finishes, place, subject_in

RED, GREEN, BLUE, WHITE = (200, 40, 40), (40, 180, 40), (40, 40, 200), (220, 220, 220)
QUARTERS = ((RED, GREEN), (BLUE, WHITE))
"""As one looks at it: red and green above, blue and white below."""
PICTURE = np.kron(np.array(QUARTERS, np.uint8).transpose(2, 0, 1), np.ones((16, 16), np.uint8)).transpose(1, 2, 0)
UV = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], float)
FACES = np.array([[0, 1, 2], [0, 2, 3]])
FACING_Z = np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]], float)
"""A plate that stands, as glTF has it: y up, its face to +z."""


def textured(corners: NDArray[np.float64]) -> trimesh.Trimesh:
    material = trimesh.visual.material.PBRMaterial(baseColorTexture=Image.fromarray(PICTURE))
    visual = trimesh.visual.TextureVisuals(uv=UV, material=material)
    return trimesh.Trimesh(corners, FACES, visual=visual, process=False)


def glb(folder: Path) -> Path:
    textured(FACING_Z).export(folder / "plate.glb")
    return folder / "plate.glb"


def obj(folder: Path) -> Path:
    Image.fromarray(PICTURE).save(folder / "quarters.png")
    (folder / "plate.mtl").write_text("newmtl skin\nKd 1 1 1\nmap_Kd quarters.png\n")
    points = "".join(f"v {x} {0} {y}\n" for x, y, _ in FACING_Z)  # z up, facing -y
    places = "".join(f"vt {u} {v}\n" for u, v in UV)
    (folder / "plate.obj").write_text(f"mtllib plate.mtl\n{points}{places}usemtl skin\nf 1/1 2/2 3/3\nf 1/1 3/3 4/4\n")
    return folder / "plate.obj"


def ply(folder: Path) -> Path:
    """Write four quarters of a plate with colours at their points, as seen, sRGB."""
    points: list[tuple[int, int, int]] = []
    colours, faces = [], []
    for row, x0, z0 in ((0, -1, 0), (0, 0, 0), (1, -1, -1), (1, 0, -1)):
        start = len(points)
        points += [(x0, 0, z0), (x0 + 1, 0, z0), (x0 + 1, 0, z0 + 1), (x0, 0, z0 + 1)]
        colours += [QUARTERS[row][x0 + 1]] * 4
        faces += [(start, start + 1, start + 2), (start, start + 2, start + 3)]
    mesh = trimesh.Trimesh(points, faces, vertex_colors=np.array(colours, np.uint8), process=False)
    mesh.export(folder / "plate.ply")
    return folder / "plate.ply"


def threemf(folder: Path) -> Path:
    """Write the same quarters as a 3MF colour group, by triangle."""
    points: list[tuple[int, int, int]] = []
    triangles = []
    for tile, (x0, z0) in enumerate(((-1, 0), (0, 0), (-1, -1), (0, -1))):
        s = len(points)
        points += [(x0, 0, z0), (x0 + 1, 0, z0), (x0 + 1, 0, z0 + 1), (x0, 0, z0 + 1)]
        triangles += [(s, s + 1, s + 2, tile), (s, s + 2, s + 3, tile)]
    colours = "".join(f'<m:color color="#{bytes(colour).hex()}"/>' for row in QUARTERS for colour in row)
    vertices = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in points)
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}" pid="5" p1="{p}"/>' for a, b, c, p in triangles)
    model = (
        '<model unit="centimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" '
        'xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02"><resources>'
        f'<m:colorgroup id="5">{colours}</m:colorgroup><object id="1" name="plate"><mesh><vertices>{vertices}'
        f"</vertices><triangles>{faces}</triangles></mesh></object></resources>"
        '<build><item objectid="1"/></build></model>'
    )
    with zipfile.ZipFile(folder / "plate.3mf", "w") as archive:
        archive.writestr("3D/3dmodel.model", model)
    return folder / "plate.3mf"


WRITERS = {"glb": glb, "obj": obj, "ply": ply, "3mf": threemf}


def looked_at(subject: Subject, finished: PartFinishes | None = None) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return what the camera sees of a plate in even daylight, and its albedo, (40, 40, 3) linear sRGB each."""
    arrangement = fill_model({"subject": {"mesh": "x"}, "backdrop": {"kind": "none"}}, Arrangement, "test")
    placed = place("butterfly", arrangement, subject, 1.0)
    surfaces = setup_geometry(placed, finished or finishes(parts=[{"primer": True}]), 40, 40).surfaces
    camera = Camera(np.array([0.0, -3.0, 0.05]), np.array([[1.0, 0, 0], [0, 0, 1], [0, 1, 0]]), 0.015, 40, 40)
    traced = Tracer(Geometry(surfaces, camera))
    picture = traced.images([ROOM], 0, count=8)[0] / 8
    weights = xyz_weights(D65 / photometric_value(D65))
    linear = np.tensordot(picture, weights, axes=(0, 1)) @ XYZ_TO_LINEAR_SRGB.T
    return linear, traced.features.albedo


@pytest.mark.parametrize("kind", WRITERS)
def test_what_is_painted_above_on_the_left_is_seen_there_in_its_colour(tmp_path: Path, kind: str) -> None:
    subject = subject_in(WRITERS[kind](tmp_path), height_cm=10)
    seen, albedo = looked_at(subject)
    for row, y in enumerate((10, 30)):
        for column, x in enumerate((10, 30)):
            expected = srgb_decode(np.array(QUARTERS[row][column]) / 255)
            np.testing.assert_allclose(albedo[y, x], expected, atol=2e-3)
            np.testing.assert_allclose(seen[y, x], expected, atol=0.012)
