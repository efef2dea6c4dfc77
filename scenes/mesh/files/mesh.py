"""Mesh files of every format read as named pieces, in the unit and the axes of the file."""

from __future__ import annotations

import stat
from collections.abc import Callable
from pathlib import Path
from typing import Final

import numpy as np

from scenes.errors import InputError
from scenes.mesh.piece import MeshFile, Piece

from .folder import FolderResolver
from .formats import READABLE
from .gltf.pieces import read_gltf
from .library import read_pieces
from .limits import refuse_far, refuse_large, refuse_many, refuse_many_pieces
from .obj import obj_content
from .off import read_off
from .ply import ply_content
from .stl import is_binary_stl, read_binary_stl, stl_text
from .threemf.package import read_threemf

LIBRARY_CONTENT: Final[dict[str, Callable[[Path], bytes]]] = {"stl": stl_text, "obj": obj_content, "ply": ply_content}
"""What the mesh library is given of the formats that it reads."""
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
        pieces, unit, notes = _read(path, kind, resolver)
    refuse_many(path, sum(len(piece.faces) for piece in pieces))
    refuse_many_pieces(path, len(pieces))
    refuse_far(path, pieces)
    if not any(len(piece.faces) for piece in pieces):
        raise InputError(
            f"{path.name} holds no triangles: it is empty, cut short or no {kind.upper()}: export it again"
        )
    return MeshFile(tuple(pieces), unit, "y" if kind in _Y_UP else "z", (*resolver.notes, *notes))


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
            pieces, notes = read_gltf(path, resolver)
        else:
            pieces, notes = read_pieces(LIBRARY_CONTENT[kind](path), kind, resolver)
        if resolver.refused:
            raise InputError(resolver.refused[0])
        return pieces, "m" if kind in _Y_UP else None, notes
    except InputError as error:
        message = resolver.refused[0] if resolver.refused else str(error)
        raise InputError(message if path.name in message else f"{path.name}: {message}") from None
    except OSError as error:
        if error.errno is None:  # raised by a reader, not by the system
            raise _broken(path, kind, error) from error
        raise InputError(f"{path} cannot be opened ({error.strerror}): check who may read it") from error
    except Exception as error:  # readers fail on broken files in many ways
        raise _broken(path, kind, error) from error


def _broken(path: Path, kind: str, error: Exception) -> InputError:
    reason = " ".join(str(error).split())[:120] or type(error).__name__
    return InputError(
        f"{path.name} could not be read as {kind.upper()} ({reason}): it is broken or cut short, "
        "so export or copy it again"
    )
