"""An arrangement read from its file, and the subject that it declares, found and loaded."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from numpy.typing import NDArray

from scenes.builtin.demo import load_diver
from scenes.builtin.standin import STAND_IN, STAND_INS, STANDIN_SIZE_CM, load_standin, with_standin
from scenes.errors import InputError, nearest
from scenes.subject.from_meshes import OWN_SIZE, Treatment, load_subject, subject_from_parts
from scenes.subject.seating import Tick, silent
from scenes.subject.sizing import Scaling
from scenes.subject.subject import Subject

from .arrangement import Arrangement
from .files import inside
from .owned import with_owned_lamps
from .painted import with_paint_files
from .reading import fill_model, read_toml

BUILT_IN = "demo:"
DEMO = "demo:diver"


def read_arrangement(path: Path) -> Arrangement:
    """Return the arrangement in a TOML file, with the lamps of its kit and the files that they name.

    Raises
    ------
    InputError
        Where a file cannot be read or a key in it is wrong.
    """
    data = with_paint_files(with_owned_lamps(read_toml(path), path), path)
    return fill_model(with_standin(data), Arrangement, str(path))


def demo_arrangement() -> Arrangement:
    """Return the arrangement of the built-in demo model."""
    with resources.as_file(resources.files("scenes.builtin") / "diver.toml") as path:
        return read_arrangement(path)


def subject_of(arrangement: Arrangement, folder: Path, *, tick: Tick = silent) -> Subject | None:
    """Return the subject of an arrangement that lies in `folder`, or None where it declares none.

    `tick` is told what is being done, in words, since a large mesh takes a while.

    Raises
    ------
    InputError
        Where the mesh cannot be used, or lies outside the folder.
    """
    declared = arrangement.subject
    if declared is None:
        return None
    scaling = Scaling(
        declared.height_cm, declared.length_cm, declared.width_cm, declared.unit, declared.scale,
        declared.real_height_m, declared.real_length_m, declared.real_width_m,
    )  # fmt: skip
    treatment = Treatment(declared.hide, declared.triangles, declared.plinth, declared.flatten)
    meshes = (declared.mesh,) if isinstance(declared.mesh, str) else declared.mesh
    if any(mesh.startswith((BUILT_IN, STAND_IN)) for mesh in meshes):
        if len(meshes) > 1:
            raise InputError(f"subject.mesh = {list(meshes)}: a built-in model stands alone; name it, or files")
        name, parts, usual = _built_in(meshes[0])
        if scaling.stated():
            usual = scaling
        return subject_from_parts(
            name, parts, scaling=usual, faces_deg=declared.faces_deg, treatment=treatment, tick=tick
        )
    paths = [inside(folder, "subject.mesh", mesh) for mesh in meshes]
    return load_subject(
        paths, scaling, up=declared.up, front=declared.front, faces_deg=declared.faces_deg, treatment=treatment,
        tick=tick,
    )  # fmt: skip


def _built_in(mesh: str) -> tuple[str, Sequence[tuple[str, NDArray[Any], NDArray[Any]]], Scaling]:
    """Return the name, the parts in cm and the usual size of a model that comes along: the demo or a stand-in."""
    if mesh.startswith(BUILT_IN):
        if mesh != DEMO:
            raise InputError(f"no built-in model is called '{mesh}'{nearest(mesh, [DEMO])}")
        return "diver", load_diver(), OWN_SIZE
    name = mesh.removeprefix(STAND_IN)
    if name not in STAND_INS:
        raise InputError(f"no stand-in is called '{name}'{nearest(name, STAND_INS)}")
    key, cm = STANDIN_SIZE_CM[name]
    size: dict[str, Any] = {key: cm}
    return name, load_standin(name), Scaling(**size)
