"""A folder looked through for what sheets are made of; sentences say what is left alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from gallery.sheet.finished import FACTS
from scenes.errors import InputError
from scenes.files import resolved_path
from scenes.mesh.files.formats import is_mesh_name
from scenes.text import listed

from .member import Member, sheet_names
from .toml_file import Kind, examine, kind_of, meshes_named
from .walking import files_below

MOST_NAMED: Final = 5
SIZES: Final = "--height-cm 18, --length-cm or --unit mm"


@dataclass(frozen=True)
class Collection:
    """The members of a folder by their names, and a sentence on each kind of file that is left alone."""

    folder: Path
    members: tuple[Member, ...]
    notes: tuple[str, ...]


def find_collection(folder: Path, out: Path, with_meshes: bool) -> Collection:
    """Return what a folder and those below it have sheets of, but for the folder `out`.

    These are its arrangements, and with `with_meshes` the meshes that none of them names.

    Raises
    ------
    InputError
        Where there is nothing to make a sheet of, or no mesh where meshes are asked for.
    """
    files = list(files_below(folder, out))
    own = [path for path in files if not path.is_symlink()]
    kinds = {path: kind_of(path) for path in own if _is_toml(path)}
    arrangements = _of_kind(Kind.ARRANGEMENT, kinds)
    named = {mesh for path in arrangements for mesh in meshes_named(path)}
    meshes = [path for path in own if is_mesh_name(path) and resolved_path(path) not in named]
    _require_some(folder, arrangements, meshes, with_meshes)
    taken = {*arrangements, *(meshes if with_meshes else [])}
    notes = _notes(
        folder,
        links=[path for path in files if path.is_symlink() and (_is_toml(path) or is_mesh_name(path) or path.is_dir())],
        setups=_of_kind(Kind.SETUP, kinds),
        others=_of_kind(Kind.OTHER, kinds),
        meshes=[] if with_meshes else meshes,
    )
    members = _members(folder, [path for path in files if path in taken])
    return Collection(folder, members, (*notes, *_orphan_notes(out, members)))


def _members(folder: Path, files: Sequence[Path]) -> tuple[Member, ...]:
    names = [path.relative_to(folder).as_posix() for path in files]
    examined = [examine(path) if _is_toml(path) else (str(path), ()) for path in files]
    return tuple(
        Member(path, name, sheet, model, mistakes)
        for path, name, sheet, (model, mistakes) in zip(files, names, sheet_names(names), examined, strict=True)
    )


def _require_some(folder: Path, arrangements: Sequence[Path], meshes: Sequence[Path], with_meshes: bool) -> None:
    if with_meshes and not meshes:
        raise InputError(
            f"{folder}: a size on the command line is for meshes that no arrangement names, and there are none; an "
            "arrangement says its own"
        )
    if arrangements or with_meshes:
        return
    remedy = "spruelight new MESH writes one, beside the mesh"
    if meshes:
        remedy = f"a size for all its meshes ({len(meshes)}), as {SIZES}, takes those instead; {remedy}"
    raise InputError(f"{folder}: no arrangement (.toml) is in it or below it; {remedy}")


def _notes(
    folder: Path, links: Sequence[Path], setups: Sequence[Path], others: Sequence[Path], meshes: Sequence[Path]
) -> tuple[str, ...]:
    """Return a sentence on each kind of file that is left alone, where there are any."""

    def names(paths: Sequence[Path]) -> str:
        return listed([path.relative_to(folder).as_posix() for path in paths], MOST_NAMED)

    sentences = {
        f"left alone, links: {names(links)}": links,
        f"left alone, no arrangements: {names(others)}": others,
        f"left alone, setups, which --setup FILE shows: {names(setups)}": setups,
        f"left alone, meshes that no arrangement names: {names(meshes)}; a size for all of them, as {SIZES}, takes "
        "them too": meshes,
    }
    return tuple(sentence for sentence, paths in sentences.items() if paths)


def _orphan_notes(out: Path, members: Sequence[Member]) -> list[str]:
    """Return a sentence on the sheets in the folder `out` of no member, as of one that was removed or renamed."""
    own = {member.sheet for member in members}
    orphans = sorted(path.parent.name for path in out.glob(f"*/{FACTS}") if path.parent.name not in own)
    return [f"left alone, sheets whose arrangement is no longer here: {listed(orphans, MOST_NAMED)}"] if orphans else []


def _of_kind(kind: Kind, kinds: Mapping[Path, Kind]) -> list[Path]:
    return [path for path, its_kind in kinds.items() if its_kind is kind]


def _is_toml(path: Path) -> bool:
    return path.suffix.lower() == ".toml"
