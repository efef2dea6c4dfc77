"""Mesh files damaged by chance, loaded by the hundred: python -m tests.bench.fuzz_meshes SECONDS [SEED].

Small valid files of every format are changed: bytes, lengths, numbers in text and JSON, ends cut off, pieces copied; of
zip and GLB files the insides too, put together again so that the damage is reached. Each is loaded by a child process
with a limit on time and memory. A file may load, or be refused by an InputError in one sentence; anything else is
printed, and the file is kept.
"""

from __future__ import annotations

import base64
import io
import json
import random
import re
import resource
import shutil
import sys
import tempfile
import time
import warnings
import zipfile
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import trimesh
from PIL import Image

from scenes.errors import InputError
from tests.support.arrangements import subject_in

LIMIT_S, LIMIT_BYTES = 10, 4 * 2**30


Files = dict[str, bytes]
"""A mesh file, first, and what lies beside it, by name."""


def seeds() -> dict[str, Files]:
    """Return small valid files of every format by name, textured, coloured and compressed ones among them."""
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
    return {name: {name: content} for name, content in found.items()} | {
        "textured.obj": beside, "textured.ply": _textured_ply(ball) | {"skin.png": packed.getvalue()}
    }  # fmt: skip


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


def damaged(files: Files, draw: random.Random) -> Files:
    """Return the files, one of them damaged; of those with files inside, most times there."""
    name = draw.choice(list(files))
    data = files[name]
    if name.endswith(".3mf") and draw.random() < 0.7:
        data = _inside_zip(data, draw)
    elif name.endswith(".glb") and draw.random() < 0.7:
        data = _inside_glb(data, draw)
    elif name.endswith(".gltf") and draw.random() < 0.7:
        data = _tree(data, draw)
    else:
        data = draw.choice(WAYS)(data, draw)
    return files | {name: data}


def _inside_zip(data: bytes, draw: random.Random) -> bytes:
    packed = io.BytesIO()
    way = draw.choice([*WAYS, _numbers, _swapped, _swapped])
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as after:
        hit = draw.choice([member for member in before.namelist() if member.endswith(".model")])
        for member in before.namelist():
            content = before.read(member)
            after.writestr(member, way(content, draw) if member == hit else content)
    return packed.getvalue()


def _inside_glb(data: bytes, draw: random.Random) -> bytes:
    length = int.from_bytes(data[12:16], "little")
    text, rest = data[20 : 20 + length], data[20 + length :]
    if draw.random() < 0.7:
        text = _tree(text, draw)
    else:
        rest = rest[:8] + draw.choice(WAYS)(rest[8:], draw)
        rest = (len(rest) - 8).to_bytes(4, "little") + rest[4:]
    text += b" " * (-len(text) % 4)
    total = 20 + len(text) + len(rest)
    return data[:8] + total.to_bytes(4, "little") + len(text).to_bytes(4, "little") + data[16:20] + text + rest


def _tree(text: bytes, draw: random.Random) -> bytes:
    """Return JSON with a value replaced or a key taken away."""
    tree = json.loads(text)
    here = tree
    for _ in range(draw.randrange(1, 6)):
        keys = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not keys:
            break
        key = draw.choice(keys)
        if isinstance(here[key], (dict, list)) and draw.random() < 0.75:
            here = here[key]
            continue
        if draw.random() < 0.3:
            del here[key]
        else:
            here[key] = draw.choice([0, -1, 1, 2**31, 2**63, 1e308, -0.5, None, "", "x", [], {}, [0], True])
        break
    return json.dumps(tree).encode()


def _bytes(data: bytes, draw: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(draw.choice([1, 1, 2, 8, 40])):
        changed[draw.randrange(len(changed))] = draw.choice([0, 255, 127, 128, draw.randrange(256)])
    return bytes(changed)


def _cut(data: bytes, draw: random.Random) -> bytes:
    return data[: draw.randrange(len(data))]


def _copied(data: bytes, draw: random.Random) -> bytes:
    start, end = sorted(draw.randrange(len(data)) for _ in range(2))
    place = draw.randrange(len(data))
    return data[:place] + data[start:end] + data[place:]


def _numbers(data: bytes, draw: random.Random) -> bytes:
    odd = [
        b"0",
        b"1",
        b"7",
        b"0.5",
        b"1e-30",
        b"1e30",
        b"-1",
        b"nan",
        b"inf",
        b"1e400",
        b"99999999999999999999",
        b"",
        b"x",
        b"4294967296",
        b"-2147483649",
    ]
    places = list(re.finditer(rb"-?\d+(\.\d+)?", data))
    for place in sorted(draw.sample(places, min(len(places), draw.choice([1, 1, 3]))), key=lambda m: -m.start()):
        data = data[: place.start()] + draw.choice(odd) + data[place.end() :]
    return data


def _swapped(data: bytes, draw: random.Random) -> bytes:
    places = list(re.finditer(rb"-?\d+(\.\d+)?", data))
    if len(places) < 2:
        return data
    one, other = sorted(draw.sample(places, 2), key=lambda m: m.start())
    return data[: one.start()] + other[0] + data[one.end() : other.start()] + one[0] + data[other.end() :]


WAYS: tuple[Callable[[bytes, random.Random], bytes], ...] = (_bytes, _cut, _copied, _numbers, _numbers, _swapped)


def outcome(path: Path) -> str:
    """Return what loading a file came to: loaded, refused, or what went wrong."""
    with warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        try:
            subject_in(path, height_cm=10)
            came = "loaded"
        except InputError as error:
            came = "refused" if "\n" not in str(error) else f"refused in several lines: {error}"
        except BaseException as error:  # whatever it is, it is what is looked for
            return f"{type(error).__name__}: {error}"
    return f"warned: {warned[0].filename}: {warned[0].message}" if warned else came


class Child:
    """A process that loads files, replaced where it hangs or ends."""

    def __init__(self) -> None:
        self._start()

    def outcome(self, path: Path) -> str:
        """Return what loading a file came to."""
        try:
            return self._pool.submit(outcome, path).result(timeout=LIMIT_S)
        except TimeoutError:
            said = f"hung: {LIMIT_S} s were not enough"
        except BrokenProcessPool:
            said = "died: the process ended"
        for process in list((self._pool._processes or {}).values()):
            process.kill()
        self._start()
        return said

    def close(self) -> None:
        """End the process."""
        self._pool.shutdown()

    def _start(self) -> None:
        self._pool = ProcessPoolExecutor(1, get_context("spawn"), _limit)
        self._pool.submit(_limit).result()


def _limit() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (LIMIT_BYTES, LIMIT_BYTES))


def main() -> None:
    """Damage and load files until the time is up, and print what came of it."""
    seconds, seed = float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0
    valid, end = seeds(), time.monotonic() + seconds
    kept = Path(tempfile.mkdtemp(prefix="fuzzed-"))
    counts: Counter[tuple[str, str]] = Counter()
    child, draw, number = Child(), random.Random(seed), 0
    while time.monotonic() < end:
        name = draw.choice(list(valid))
        folder = kept / f"{number:06d}"
        folder.mkdir()
        for file, content in damaged(valid[name], draw).items():
            (folder / file).write_bytes(content)
        came = child.outcome(folder / name)
        counts[name, came.partition(":")[0]] += 1
        number += 1
        if came in ("loaded", "refused"):
            shutil.rmtree(folder)
        else:
            print(f"{folder / name}, seed {seed}: {came}"[:400], flush=True)
    child.close()
    for (name, came), count in sorted(counts.items()):
        print(f"{name:14} {came:20} {count}")
    print(f"{number} files, seed {seed}")


if __name__ == "__main__":
    main()
