"""Mesh files as they stand on disk: named pieces in the file's unit and axes, nothing from elsewhere."""

from __future__ import annotations

import stat
from pathlib import Path

import numpy as np

from scenes.errors import InputError
from scenes.mesh.piece import MeshFile, Piece

from .byte_checks import content
from .folder import FolderResolver
from .gltf.pieces import read_gltf
from .library import read_pieces
from .limits import refuse_far, refuse_large, refuse_many, refuse_many_pieces
from .off import read_off
from .stl import is_binary_stl, read_binary_stl
from .threemf.package import read_threemf

READABLE = ("stl", "obj", "ply", "glb", "gltf", "3mf", "off")
_Y_UP = ("glb", "gltf")


def read_mesh_file(path: Path) -> MeshFile:
    """Return what the mesh file holds.

    Raises
    ------
    InputError
        If the file is missing, of another kind, broken, or holds no triangles.
    """
    kind = _kind(path)
    resolver = FolderResolver(path)
    with np.errstate(invalid="ignore", over="ignore"):  # what is no finite number is told later
        pieces, unit, doubts = _read(path, kind, resolver)
    refuse_many(path, sum(len(piece.faces) for piece in pieces))
    refuse_many_pieces(path, len(pieces))
    refuse_far(path, pieces)
    if not any(len(piece.faces) for piece in pieces):
        raise InputError(
            f"{path.name} holds no triangles: it is empty, cut short or no {kind.upper()}: export it again"
        )
    return MeshFile(tuple(pieces), unit, "y" if kind in _Y_UP else "z", (*resolver.doubts, *doubts))


def _kind(path: Path) -> str:
    readable = ", ".join(READABLE)
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError, ValueError):  # a name with a zero byte is a ValueError
        raise InputError(f"{path} is not there: check the path and the spelling") from None
    except OSError as error:  # links in a ring, a name longer than any file's, a folder that is closed
        raise InputError(f"{path} cannot be opened ({error.strerror}): check the path") from None
    if stat.S_ISDIR(mode):
        raise InputError(f"{path} is a folder: name the mesh file in it ({readable})")
    if not stat.S_ISREG(mode):
        raise InputError(f"{path} is no file of its own: copy the mesh into one")  # a pipe may never end
    kind = path.suffix.lower().removeprefix(".")
    if kind not in READABLE:
        raise InputError(f"{path.name} ends in '{path.suffix}', which is none of the meshes read here ({readable})")
    return kind


def _read(path: Path, kind: str, resolver: FolderResolver) -> tuple[list[Piece], str | None, list[str]]:
    try:
        refuse_large(path)
        if kind == "stl" and is_binary_stl(path):
            return [read_binary_stl(path)], None, []
        if kind == "off":
            return [read_off(path)], None, []
        if kind == "3mf":
            return read_threemf(path)
        if kind in _Y_UP:
            pieces, doubts = read_gltf(path, resolver)
        else:
            pieces, doubts = read_pieces(content(path, kind), kind, resolver)
        if resolver.refused:
            raise InputError(resolver.refused[0])
        return pieces, "m" if kind in _Y_UP else None, doubts
    except InputError as error:
        said = resolver.refused[0] if resolver.refused else str(error)
        raise InputError(said if path.name in said else f"{path.name}: {said}") from None
    except OSError as error:
        if error.errno is None:  # a reader's own complaint
            raise _broken(path, kind, error) from error
        raise InputError(f"{path} cannot be opened ({error.strerror}): check who may read it") from error
    except Exception as error:  # whatever a reader makes of a broken file
        raise _broken(path, kind, error) from error


def _broken(path: Path, kind: str, error: Exception) -> InputError:
    reason = " ".join(str(error).split())[:120] or type(error).__name__
    return InputError(
        f"{path.name} could not be read as {kind.upper()} ({reason}): it is broken or cut short, "
        "so export or copy it again"
    )
