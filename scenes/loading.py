"""The subject that an arrangement declares, found and loaded."""

from __future__ import annotations

from importlib import resources
from pathlib import Path, PurePosixPath, PureWindowsPath

from .arrangement import Arrangement, SubjectModel
from .demo import load_diver
from .errors import InputError, nearest
from .reading import read_arrangement
from .subject import Scaling, Subject, load_subject, subject_from_parts

BUILT_IN = "demo:"
DEMO = "demo:diver"


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
    if declared.mesh.startswith(BUILT_IN):
        if declared.mesh != DEMO:
            raise InputError(f"no built-in model is called '{declared.mesh}'{nearest(declared.mesh, [DEMO])}")
        return subject_from_parts("diver", load_diver(), height_cm=declared.height_cm, faces_deg=declared.faces_deg)
    scaling = Scaling(declared.height_cm, declared.length_cm, declared.width_cm, declared.unit)
    path = _inside(declared, folder)
    return load_subject(path, scaling, up=declared.up, front=declared.front, faces_deg=declared.faces_deg)


def _inside(declared: SubjectModel, folder: Path) -> Path:
    said = declared.mesh
    told = (PurePosixPath(said), PureWindowsPath(said))
    path = folder / said
    leaves = any(p.is_absolute() or p.drive or ".." in p.parts for p in told)
    if leaves or ("\0" not in said and not path.resolve().is_relative_to(folder.resolve())):  # by a link
        raise InputError(
            f'subject.mesh = "{said}" leaves the arrangement\'s folder; put the mesh beside the '
            "arrangement, or in a folder below it, and name it from there"
        )
    return path
