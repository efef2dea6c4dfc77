"""An arrangement read from its file, and the subject that it declares, found and loaded."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from .arrangement import Arrangement
from .demo import load_diver
from .errors import InputError, nearest
from .files import inside
from .mesh_subject import Treatment, load_subject, subject_from_parts
from .owned import with_owned_lamps
from .reading import fill_model, read_toml
from .sizing import Scaling
from .subject import Subject

BUILT_IN = "demo:"
DEMO = "demo:diver"


def read_arrangement(path: Path) -> Arrangement:
    """Return the arrangement in a TOML file, with the lamps of its kit and the files that they name.

    Raises
    ------
    InputError
        Where a file cannot be read or a key in it is wrong.
    """
    return fill_model(with_owned_lamps(read_toml(path), path), Arrangement, str(path))


def demo_arrangement() -> Arrangement:
    """Return the arrangement of the built-in demo model."""
    with resources.as_file(resources.files("scenes.demo") / "diver.toml") as path:
        return read_arrangement(path)


def subject_of(arrangement: Arrangement, folder: Path) -> Subject | None:
    """Return the subject of an arrangement that lies in `folder`, or None where it declares none.

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
    if meshes[0].startswith(BUILT_IN):
        if meshes != (DEMO,):
            raise InputError(f"no built-in model is called '{meshes[0]}'{nearest(meshes[0], [DEMO])}")
        return subject_from_parts(
            "diver", load_diver(), scaling=scaling, faces_deg=declared.faces_deg, treatment=treatment
        )
    paths = [inside(folder, "subject.mesh", mesh) for mesh in meshes]
    return load_subject(
        paths, scaling, up=declared.up, front=declared.front, faces_deg=declared.faces_deg, treatment=treatment
    )
