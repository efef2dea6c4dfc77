"""Small whole mesh files of every format, to be damaged."""

from __future__ import annotations

import base64
import io
import json
import zipfile
from collections.abc import Iterator

import numpy as np
import trimesh
from PIL import Image

from .case import Case, Files


def whole_meshes() -> tuple[Case, ...]:
    """Return small meshes of every format, textured, coloured and compressed ones among them."""
    return tuple(Case(files, ("proof", "three-point", next(iter(files)), "--height-cm", "10")) for files in _meshes())


def _meshes() -> Iterator[Files]:
    """Give mesh files, each with what lies beside it."""
    ball, two = trimesh.creation.icosphere(1), trimesh.Scene([trimesh.creation.box(), trimesh.creation.icosphere(1)])
    coloured, textured = ball.copy(), ball.copy()
    coloured.visual.vertex_colors = np.arange(4 * len(ball.vertices)).reshape(-1, 4) % 255
    picture = Image.fromarray(np.arange(192, dtype=np.uint8).reshape(8, 8, 3))
    material = trimesh.visual.material.PBRMaterial(baseColorTexture=picture, baseColorFactor=[128, 255, 255, 255])
    textured.visual = trimesh.visual.TextureVisuals(uv=ball.vertices[:, :2], material=material)
    found = {
        "ball.stl": ball.export(file_type="stl"), "ascii.stl": ball.export(file_type="stl_ascii").encode(),
        "ball.obj": coloured.export(file_type="obj").encode(), "coloured.ply": coloured.export(file_type="ply"),
        "ascii.ply": coloured.export(file_type="ply", encoding="ascii"), "coloured.off": _off(ball),
        "strips.ply": _strips(ball, "binary_little_endian"), "strips.ascii.ply": _strips(ball, "ascii"),
        "quantized.gltf": _quantized(ball, picture),
        "two.3mf": two.export(file_type="3mf"), "parts.3mf": _parts(),
        "two.glb": two.export(file_type="glb"), "textured.glb": textured.export(file_type="glb"),
        "coloured.glb": coloured.export(file_type="glb"),
        "draco.glb": coloured.scene().export(file_type="glb", extension_draco=True),
        "two.gltf": two.export(file_type="gltf", embed_buffers=True)["model.gltf"],
    }  # fmt: skip
    packed = io.BytesIO()
    picture.convert("RGBA").save(packed, "PNG")
    points = "".join(f"v {x} {y} {z}\nvt {x} {y}\n" for x, y, z in ball.vertices)
    faces = "".join(f"f {a}/{a} {b}/{b} {c}/{c}\n" for a, b, c in ball.faces + 1)
    beside = {
        "textured.obj": f"mtllib skin.mtl\n{points}o ball\nusemtl skin\n{faces}".encode(),
        "skin.mtl": b"newmtl skin\nKd 1 0.5 0.5\nmap_Kd skin.png\nmap_Bump skin.png\n", "skin.png": packed.getvalue(),
    }  # fmt: skip
    yield from ({name: content} for name, content in found.items())
    yield beside
    yield _textured_ply(ball) | {"skin.png": packed.getvalue()}


def _off(mesh: trimesh.Trimesh) -> bytes:
    points = "".join(f"{x} {y} {z} 0.5 0.25 {i % 2} 1\n" for i, (x, y, z) in enumerate(mesh.vertices))
    faces = "".join(f"3 {a} {b} {c} {a} {b} {c}\n" for a, b, c in mesh.faces)
    return f"COFF\n{len(mesh.vertices)} {len(mesh.faces)} 0\n{points}{faces}".encode()


def _strips(mesh: trimesh.Trimesh, kind: str) -> bytes:
    """Return a PLY of triangle strips, as scanners write them."""
    heading = f"ply\nformat {kind} 1.0\nelement vertex {len(mesh.vertices)}\n"
    heading += "".join(f"property float {axis}\n" for axis in "xyz")
    heading += "element tristrips 1\nproperty list int int vertex_indices\nend_header\n"
    corners = np.pad(mesh.faces, ((0, 0), (0, 1)), constant_values=-1).reshape(-1)
    if kind == "ascii":
        rows = "".join(f"{x} {y} {z}\n" for x, y, z in mesh.vertices)
        return f"{heading}{rows}{len(corners)} {' '.join(map(str, corners))}\n".encode()
    points, strip = np.asarray(mesh.vertices, "<f4"), np.array([len(corners), *corners], "<i4")
    return b"".join([heading.encode(), points.tobytes(), strip.tobytes()])


def _textured_ply(mesh: trimesh.Trimesh) -> Files:
    heading = f"ply\nformat ascii 1.0\ncomment TextureFile skin.png\nelement vertex {len(mesh.vertices)}\n"
    heading += "".join(f"property float {name}\n" for name in "xyzst")
    heading += f"element face {len(mesh.faces)}\nproperty list uchar int vertex_indices\nend_header\n"
    points = "".join(f"{x} {y} {z} {x} {y}\n" for x, y, z in mesh.vertices)
    faces = "".join(f"3 {a} {b} {c}\n" for a, b, c in mesh.faces)
    return {"textured.ply": (heading + points + faces).encode()}


def _quantized(mesh: trimesh.Trimesh, picture: Image.Image) -> bytes:
    """Return a glTF of whole numbers, its places in a picture not normalized, its colours sparse without a view."""
    count, packed = len(mesh.vertices), io.BytesIO()
    picture.save(packed, "PNG")
    held = [
        np.pad(32767 * mesh.vertices, ((0, 0), (0, 1))).astype("<i2").tobytes(),
        (4000 * (mesh.vertices[:, :2] + 1)).astype("<u2").tobytes(), mesh.faces.astype("<u2").tobytes(),
        np.arange(count, dtype="<u2").tobytes(), np.full((count, 3), 0.5, "<f4").tobytes(),
    ]  # fmt: skip
    starts = np.cumsum([0, *map(len, held)]).tolist()
    views = [{"buffer": 0, "byteOffset": at, "byteLength": len(each)} for at, each in zip(starts, held, strict=False)]
    views[0]["byteStride"] = 8
    sparse = {
        "count": count, "indices": {"bufferView": 3, "componentType": 5123}, "values": {"bufferView": 4}
    }  # fmt: skip
    move = {"KHR_texture_transform": {"scale": [1 / 8000, 1 / 8000]}}
    uris = [
        f"data:{kind};base64,{base64.b64encode(each).decode()}"
        for kind, each in (("application/octet-stream", b"".join(held)), ("image/png", packed.getvalue()))
    ]
    tree = {
        "asset": {"version": "2.0"}, "extensionsUsed": ["KHR_mesh_quantization", "KHR_texture_transform"],
        "nodes": [{"mesh": 0, "name": "ball"}], "buffers": [{"byteLength": starts[-1], "uri": uris[0]}],
        "bufferViews": views, "images": [{"uri": uris[1]}], "textures": [{"source": 0}],
        "accessors": [
            {"bufferView": 0, "componentType": 5122, "type": "VEC3", "count": count, "normalized": True},
            {"bufferView": 1, "componentType": 5123, "type": "VEC2", "count": count},
            {"bufferView": 2, "componentType": 5123, "type": "SCALAR", "count": mesh.faces.size},
            {"componentType": 5126, "type": "VEC3", "count": count, "sparse": sparse},
        ],
        "materials": [{"pbrMetallicRoughness": {"baseColorTexture": {"index": 0, "extensions": move}}}],
        "meshes": [{"primitives": [{
            "attributes": {"POSITION": 0, "TEXCOORD_0": 1, "COLOR_0": 3}, "indices": 2, "material": 0
        }]}],
    }  # fmt: skip
    return json.dumps(tree).encode()


def _parts() -> bytes:
    """Return a 3MF of two parts with a colour group, as slicing programs write them."""
    core = 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"'
    production = 'xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06"'
    box = trimesh.creation.box()
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in box.vertices)
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}" pid="5" p1="{a % 2}"/>' for a, b, c in box.faces)
    part = (
        f'<model {core}><resources><colorgroup id="5"><color color="#ff0000"/><color color="#00ff00"/></colorgroup>'
        f'<object id="1"><mesh><vertices>{points}</vertices><triangles>{faces}</triangles></mesh></object></resources>'
        "<build/></model>"
    )
    main = (
        f'<model unit="inch" {core} {production}><resources><object id="2" name="box"><components>'
        '<component p:path="/3D/Objects/box.model" objectid="1" transform="1 0 0 0 1 0 0 0 1 5 5 5"/>'
        '</components></object></resources><build><item objectid="2"/></build></model>'
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("3D/3dmodel.model", main)
        archive.writestr("3D/Objects/box.model", part)
    return packed.getvalue()
