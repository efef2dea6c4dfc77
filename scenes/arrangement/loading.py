"""The subject that an arrangement declares: from mesh files of its folder, the demo model or a stand-in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from scenes.builtin.demo import load_diver
from scenes.builtin.standin import STANDIN_SIZE_CM, load_standin, standin_name
from scenes.errors import InputError, nearest
from scenes.mesh.triangles import bounds
from scenes.progress import Progress
from scenes.subject.from_meshes import load_subject, subject_from_parts
from scenes.subject.sizing import stated_size
from scenes.subject.subject import Subject

from .folder import Folder
from .subject_model import SubjectModel

BUILT_IN: Final = "demo:"
DEMO: Final = "demo:diver"

Loader: TypeAlias = Callable[[SubjectModel, Progress], Subject]


def load_declared(declared: SubjectModel, folder: Folder, progress: Progress) -> Subject:
    """Return the subject of a [subject] table; its files are read from `folder` alone.

    Raises
    ------
    InputError
        Where a mesh is missing, lies elsewhere or cannot be used, or a built-in model is unknown or not alone.
    """
    files = mesh_files(declared, folder)
    if built_in := _built_in(declared):
        return built_in[0](declared, progress)
    return load_subject(files, declared, progress=progress)


def mesh_files(declared: SubjectModel, folder: Folder) -> list[Path]:
    """Return the mesh files of a [subject] table; of a built-in model there are none.

    Raises
    ------
    InputError
        Where one is missing or lies elsewhere, or a built-in model is unknown or not alone.
    """
    built_in = _built_in(declared)
    if built_in and len(declared.meshes) > 1:
        raise InputError(f"subject.mesh = {list(declared.meshes)}: a built-in model stands alone; name it, or files")
    return [] if built_in else [folder.find("subject.mesh", mesh) for mesh in declared.meshes]


def _built_in(declared: SubjectModel) -> list[Loader]:
    """Return the loaders of the built-in models that a subject names."""
    return [load for mesh in declared.meshes if (load := _loader(mesh))]


def _loader(mesh: str) -> Loader | None:
    """Return the loader of a built-in model, the demo or a stand-in; None of a file."""
    if mesh.startswith(BUILT_IN):
        if mesh != DEMO:
            raise InputError(f"no built-in model is called '{mesh}'{nearest(mesh, [DEMO])}")
        return lambda declared, progress: subject_from_parts("diver", load_diver(), declared, progress=progress)
    if (name := standin_name(mesh)) is None:
        return None
    return partial(_load_standin, name)


def _load_standin(name: str, declared: SubjectModel, progress: Progress) -> Subject:
    parts = load_standin(name)
    if stated_size(declared) is None:
        key, cm = STANDIN_SIZE_CM[name]
        usual: dict[str, Any] = {key: cm}
        declared = declared.model_copy(update=usual)
    elif declared.length_cm or declared.real_length_m:
        declared = declared.model_copy(update=_along_longest_side(declared, parts))
    return subject_from_parts(name, parts, declared, progress=progress)


def _along_longest_side(declared: SubjectModel, parts: Sequence[tuple[str, NDArray[Any], Any]]) -> dict[str, Any]:
    """Return the sizes of a stand-in whose length is stated: of its longest side, whichever way that runs."""
    extent = np.ptp(bounds(vertices for _, vertices, _ in parts), axis=0)
    side = ("width", "length", "height")[int(extent.argmax())]
    sizes = {"length_cm": None, "real_length_m": None}
    return sizes | {f"{side}_cm": declared.length_cm, f"real_{side}_m": declared.real_length_m}
