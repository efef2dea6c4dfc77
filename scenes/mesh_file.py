"""Mesh files as they stand on disk: named pieces in the file's unit and axes, nothing from elsewhere."""

from __future__ import annotations

import io
import json
import logging
import re
import warnings
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path, PureWindowsPath
from typing import Any
from urllib.parse import unquote

import numpy as np
from numpy.typing import NDArray

from .errors import InputError
from .paint import Paint
from .shading import plain_colour

CM_PER_UNIT = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54}
CM_PER_UNIT |= {"micron": 1e-4, "millimeter": 0.1, "centimeter": 1.0}  # 3MF's words
CM_PER_UNIT |= {"inch": 2.54, "foot": 30.48, "meter": 100.0}
READABLE = ("stl", "obj", "ply", "glb", "gltf", "3mf", "off")
_Y_UP = ("glb", "gltf")
_NAMELESS = ("stl", "ply", "off")  # one lump, or names that are a program's remark
_IMAGES = (".png", ".jpg", ".jpeg", ".bmp", ".tga", ".tif", ".tiff", ".webp", ".gif", ".dds", ".ktx2")
_PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010800000000"
    "3a7e9b550000000a49444154789c6360000000020001e221bc330000000049454e44ae426082"
)


@dataclass(frozen=True, eq=False)
class Piece:
    """A named piece in the file's unit and axes: vertices (n, 3), faces (m, 3).

    `colour` is "#rrggbb" where it has one that somebody chose, `paint` what it has where colours differ over it.
    """

    name: str
    vertices: NDArray[np.floating[Any]]
    faces: NDArray[np.integer[Any]]
    colour: str | None = None
    paint: Paint | None = None


_Found = tuple[Piece, str | None]  # with the name of its material


@dataclass(frozen=True, eq=False)
class MeshFile:
    """What a mesh file holds; ``unit`` is none where the format states none, ``up`` the format's own axis."""

    pieces: tuple[Piece, ...]
    unit: str | None
    up: str
    notes: tuple[str, ...]


@dataclass
class FolderResolver:
    """Gives a reader the files that a mesh file names, from its own folder and below; images stay closed.

    Raises `InputError` for anything else, and keeps what was refused or missing.
    """

    path: Path
    doubts: list[str] = field(default_factory=list)

    def get(self, name: str) -> bytes:
        """Return the content of the file of that name beside the mesh file."""
        if Path(name).suffix.lower() in _IMAGES:
            return _PIXEL  # only whether there is a picture matters
        paths = [self._inside(spelling) for spelling in (name, unquote(name))]
        if None in paths:
            raise self._refused(f"names '{name}', which is outside its folder and was not read")
        for path in paths:
            if path and path.is_file():
                return path.read_bytes()
        raise self._refused(f"names '{name}', which is not beside it")

    __getitem__ = get

    def _inside(self, name: str) -> Path | None:
        name = name.strip().replace("\\", "/")
        folder = self.path.parent.resolve()
        if ":" in name or PureWindowsPath(name).anchor:
            return None
        path = (folder / name).resolve()
        return path if path.is_relative_to(folder) else None

    def _refused(self, what: str) -> InputError:
        self.doubts.append(f"the file {what}")
        return InputError(f"{self.path.name} {what}: put it into the same folder, or export one GLB")


def read_mesh_file(path: Path) -> MeshFile:
    """Return what the mesh file holds.

    Raises
    ------
    InputError
        If the file is missing, of another kind, broken, or holds no triangles.
    """
    kind = _kind(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be opened ({error.strerror}): check who may read it") from error
    resolver = FolderResolver(path)
    found, unit = _read(path, kind, data, resolver)
    pieces = _named(found[::-1] if kind == "obj" else found, kind)  # the reader turns an OBJ's order round
    if not any(len(piece.faces) for piece in pieces):
        raise InputError(
            f"{path.name} holds no triangles: it is empty, cut short or no {kind.upper()}: export it again"
        )
    return MeshFile(tuple(pieces), unit, "y" if kind in _Y_UP else "z", tuple(resolver.doubts))


def _kind(path: Path) -> str:
    readable = ", ".join(READABLE)
    if not path.exists():
        raise InputError(f"{path} is not there: check the path and the spelling")
    if path.is_dir():
        raise InputError(f"{path} is a folder: name the mesh file in it ({readable})")
    kind = path.suffix.lower().removeprefix(".")
    if kind not in READABLE:
        raise InputError(f"{path.name} ends in '{path.suffix}', which is none of the meshes read here ({readable})")
    return kind


def _read(path: Path, kind: str, data: bytes, resolver: FolderResolver) -> tuple[list[_Found], str | None]:
    import trimesh

    logging.getLogger("trimesh").addHandler(logging.NullHandler())  # its remarks are not for the person
    options = {"split_objects": True, "split_groups": True} if kind == "obj" else {}
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.filterwarnings("error", message="string or file could not be read")
            if check := _CHECKS.get(kind):
                data = check(path, data)
            stream = io.BytesIO(data)
            scene = trimesh.load_scene(stream, file_type=kind, resolver=resolver, process=False, **options)
            return _pieces(scene, linear=kind in _Y_UP), _unit(scene, kind)
    except InputError:
        raise
    except Exception as error:  # whatever a reader makes of a broken file
        reason = " ".join(str(error).split())[:120] or type(error).__name__
        raise InputError(
            f"{path.name} could not be read as {kind.upper()} ({reason}): it is broken or cut short, "
            "so export or copy it again"
        ) from error


def _stl_content(path: Path, data: bytes) -> bytes:
    if data[:512].lstrip().lower().startswith(b"solid") and b"facet" in data[:4096].lower():
        if b"endsolid" not in data.lower():
            raise InputError(f"{path.name} ends before its 'endsolid': it is cut short, so export or copy it again")
        return data
    if len(data) < 84:
        raise InputError(f"{path.name} holds {len(data)} bytes, too few for an STL file: export or copy it again")
    count = int.from_bytes(data[80:84], "little")
    whole = 84 + 50 * count
    if len(data) < whole:
        raise InputError(
            f"{path.name} holds {len(data)} bytes where the {count} triangles it announces take {whole}: "
            "it is cut short or no STL file, so export or copy it again"
        )
    return data[:whole]


def _obj_content(_path: Path, data: bytes) -> bytes:
    """Return the text with face indices that count backwards made to count from the start."""
    if not re.search(rb"^\s*f\s[^\n]*-\d", data, re.MULTILINE):
        return data
    counts = Counter({b"v": 0, b"vt": 0, b"vn": 0})
    lines = data.replace(b"\\\n", b" ").splitlines()
    for number, line in enumerate(lines):
        words = line.split()
        if words and words[0] in counts:
            counts[words[0]] += 1
        elif words and words[0] == b"f":
            lines[number] = b" ".join([b"f", *(_absolute(word, counts) for word in words[1:])])
    return b"\n".join(lines)


def _absolute(corner: bytes, counts: Counter[bytes]) -> bytes:
    def one(index: bytes, of: bytes) -> bytes:
        return b"%d" % (counts[of] + 1 + int(index)) if index.startswith(b"-") else index

    return b"/".join(one(index, of) for index, of in zip(corner.split(b"/"), (b"v", b"vt", b"vn"), strict=False))


def _gltf_content(path: Path, data: bytes) -> bytes:
    text = data[20 : 20 + int.from_bytes(data[12:16], "little")] if data[:4] == b"glTF" else data
    try:
        required = json.loads(text).get("extensionsRequired", [])
    except (ValueError, AttributeError, RecursionError) as error:
        raise InputError(f"{path.name} is no whole glTF file ({error}): export or copy it again") from error
    for name in ("KHR_draco_mesh_compression", "EXT_meshopt_compression"):
        if name in required:
            raise InputError(f"{path.name} is compressed ({name}): export it without compression")
    return data


def _off_content(path: Path, data: bytes) -> bytes:
    words = re.sub(rb"#[^\n]*", b"", data).partition(b"OFF")[2]
    lines = [line for line in words.splitlines() if line.strip()]
    counts = lines[0].split()[:2] if lines else []
    if len(counts) == 2 and all(word.isdigit() for word in counts):
        announced = sum(int(word) for word in counts)
        if len(lines) - 1 < announced:
            raise InputError(
                f"{path.name} holds {len(lines) - 1} of the {announced} lines that it announces: "
                "it is cut short, so export or copy it again"
            )
    return data


_CHECKS: dict[str, Callable[[Path, bytes], bytes]] = {
    "stl": _stl_content,
    "obj": _obj_content,
    "glb": _gltf_content,
    "gltf": _gltf_content,
    "off": _off_content,
}


def _unit(scene: Any, kind: str) -> str | None:
    if kind in _Y_UP:
        return "m"
    if kind != "3mf":
        return None
    units = [mesh.metadata.get("units") for mesh in scene.geometry.values()]
    return next((unit for unit in units if unit in CM_PER_UNIT), "millimeter")


def _pieces(scene: Any, *, linear: bool) -> list[_Found]:
    """Return each placed piece, and the name of its material."""
    pieces = []
    order = {name: number for number, name in enumerate(scene.geometry)}
    nodes = scene.graph.nodes_geometry[::-1]
    for node in sorted(nodes, key=lambda node: order[scene.graph[node][1]]):
        matrix, geometry = scene.graph[node]
        mesh = scene.geometry[geometry]
        if getattr(mesh, "faces", None) is None:
            continue  # lines and points
        faces = np.asarray(mesh.faces, np.int64).reshape(-1, 3)
        if np.linalg.det(matrix[:3, :3]) < 0:
            faces = faces[:, ::-1]  # a mirrored copy
        vertices = np.asarray(mesh.vertices, np.float64) @ matrix[:3, :3].T + matrix[:3, 3]
        shared = mesh.metadata.get("from_gltf_primitive")
        name = str(scene.graph.transforms.parents[node] if shared else node)
        material = getattr(getattr(mesh.visual, "material", None), "name", None)
        pieces.append((Piece(name, vertices, faces, _colour(mesh.visual, linear=linear)), material))
    return pieces


def _named(found: list[_Found], kind: str) -> list[Piece]:
    """Return the pieces with the names that people gave them, and the material's where one has several."""
    plain = [_plain_name(piece.name, material, kind) for piece, material in found]
    several = Counter(plain)
    names = [
        f"{name} {material}" if several[name] > 1 and material and name != material else name
        for name, (_, material) in zip(plain, found, strict=True)
    ]
    return [replace(piece, name=name) for (piece, _), name in zip(found, names, strict=True)]


def _plain_name(name: str, material: str | None, kind: str) -> str:
    if kind in _NAMELESS or re.fullmatch(r"geometry(_\d+)?|\d+|", name.strip()):
        return "model"
    if kind == "obj":
        name = name.removesuffix(f"_{material}") if material else name
        half = len(name) // 2
        if name[half : half + 1] == "_" and name[:half] == name[half + 1 :]:
            name = name[:half]  # the object and its only group have one name
    return name


def _colour(visual: Any, *, linear: bool) -> str | None:
    """Return "#rrggbb" where the whole piece has one colour that somebody chose."""
    if visual.kind == "texture":
        material = visual.material
        picture = getattr(material, "image", None) or getattr(material, "baseColorTexture", None)
        chosen = getattr(material, "diffuse", None)
        chosen = getattr(material, "baseColorFactor", None) if chosen is None else chosen
        return None if picture or chosen is None else plain_colour(np.asarray(chosen)[None], linear=linear)
    if visual.kind in ("vertex", "face"):
        return plain_colour(np.asarray(getattr(visual, f"{visual.kind}_colors")), linear=linear)
    return None
