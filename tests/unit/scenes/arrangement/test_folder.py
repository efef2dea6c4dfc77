"""Whatever key names a file: it is read from the arrangement's folder or one below it, and from nowhere else."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest
import trimesh

from scenes.arrangement.folder import Folder
from scenes.arrangement.resolving import ResolvedArrangement, read_arrangement, resolve
from scenes.errors import InputError
from tests.unit.scenes.lamps.files.test_ies import ies

COLUMNS = "".join(f"{nm},0.5\n" for nm in range(380, 781, 10))
LAMP = '[[lamps]]\nname = "a"\nsize_cm = [9, 9]\n'
BOX = '[subject]\nunit = "mm"\nmesh = '


class Naming(NamedTuple):
    """A key that names a file, where NAME stands, and a file that would do."""

    key: str
    text: str
    file: str
    in_kit: bool = False


KEYS = {
    "a mesh": Naming("subject.mesh", BOX + '"NAME"\n', "box.stl"),
    "one of several meshes": Naming("subject.mesh", BOX + '["own.stl", "NAME"]\n', "box.stl"),
    "a kit": Naming("kit", 'kit = "NAME"\n', "kit.toml"),
    "a spectrum": Naming("lamps[1].spectrum", LAMP + 'spectrum = "NAME"\n', "flat.csv"),
    "photometry": Naming("lamps[1].photometry", LAMP + 'photometry = "NAME"\n', "lamp.ies"),
    "a spectrum in a kit": Naming("lamps[1].spectrum", LAMP + 'spectrum = "NAME"\n', "flat.csv", in_kit=True),
    "photometry in a kit": Naming("lamps[1].photometry", LAMP + 'photometry = "NAME"\n', "lamp.ies", in_kit=True),
    "a part's base": Naming("subject.parts[1].base", BOX + '"own.stl"\nparts = [{ base = "NAME" }]\n', "flat.csv"),
    "the colour of a wash": Naming("subject.wash.colour", BOX + '"own.stl"\nwash.colour = "NAME"\n', "flat.csv"),
}
OUTSIDE: dict[str, Callable[[Path, str], str]] = {
    "the folder above": lambda _, file: f"../{file}",
    "the folder above, by way of one below": lambda _, file: f"below/../../{file}",
    "an absolute path": lambda folder, file: str(folder.parent / file),
    "an absolute path by way of the folder": lambda folder, file: f"{folder}/../{file}",
    "an absolute path into the folder": lambda folder, file: str(folder / file),
    "an absolute path through a link": lambda folder, file: str(folder / "up" / file),
    "a folder that is a link": lambda _, file: f"up/{file}",
    "a link": lambda _, file: f"link-{file}",
    "a link to a link": lambda _, file: f"below/link-{file}",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with files of every kind in it, below it and above it, and links that lead out of it."""
    inner = tmp_path / "build"
    (inner / "below").mkdir(parents=True)
    for place in (tmp_path, inner, inner / "below"):
        trimesh.creation.box((10, 20, 30)).export(place / "box.stl")
        (place / "flat.csv").write_text(COLUMNS)
        (place / "lamp.ies").write_text(ies())
        (place / "kit.toml").write_text(LAMP)
    shutil.copy(inner / "box.stl", inner / "own.stl")
    (inner / "up").symlink_to(tmp_path, target_is_directory=True)
    for file in ("box.stl", "flat.csv", "lamp.ies", "kit.toml"):
        (inner / f"link-{file}").symlink_to(tmp_path / file)
        (inner / "below" / f"link-{file}").symlink_to(inner / f"link-{file}")
    return inner


def opened(folder: Path, naming: Naming, name: str) -> ResolvedArrangement:
    """Return what an arrangement in the folder, or its kit, resolves to that names a file."""
    text = naming.text.replace("NAME", name)
    path = folder / "a.toml"
    path.write_text('kit = "mine.toml"\n' if naming.in_kit else text)
    (folder / "mine.toml").write_text(text if naming.in_kit else LAMP)
    return resolve(read_arrangement(path), Folder(folder, str(path)))


def refusal(folder: Path, naming: Naming, name: str) -> str:
    with pytest.raises(InputError) as caught:
        opened(folder, naming, name)
    sentence = str(caught.value)
    assert "\n" not in sentence
    return sentence.removeprefix(f"{folder}/{'mine' if naming.in_kit else 'a'}.toml: ")


@pytest.mark.parametrize("below", ["", "below/", "./", "below/./"])
@pytest.mark.parametrize("naming", KEYS.values(), ids=KEYS)
def test_a_file_in_the_folder_or_below_it_is_read(folder: Path, naming: Naming, below: str) -> None:
    opened(folder, naming, below + naming.file)
    (folder / below / naming.file).write_bytes(b"bread\0milk\n")
    with pytest.raises(InputError, match=re.escape(naming.file)):
        opened(folder, naming, below + naming.file)


@pytest.mark.parametrize("way", OUTSIDE.values(), ids=OUTSIDE)
@pytest.mark.parametrize("naming", KEYS.values(), ids=KEYS)
def test_no_key_reads_a_file_outside_the_folder(folder: Path, naming: Naming, way: Callable[[Path, str], str]) -> None:
    name = way(folder, naming.file)
    assert (folder / name).is_file()
    what = naming.key.rpartition(".")[2]
    assert refusal(folder, naming, name) == (
        f'{naming.key} = "{name}" leaves the arrangement\'s folder; put the {what} beside the arrangement, or in a '
        "folder below it, and name it from there"
    )


@pytest.mark.parametrize("spelling", ["C:\\FILE", "C:FILE", "..\\FILE", "\\\\host\\share\\FILE"])
@pytest.mark.parametrize("naming", KEYS.values(), ids=KEYS)
def test_nor_by_a_name_that_leaves_it_on_another_system(folder: Path, naming: Naming, spelling: str) -> None:
    name = spelling.replace("FILE", naming.file)
    told = refusal(folder, naming, name.replace("\\", "\\\\"))
    assert told.startswith(f'{naming.key} = "{name}" leaves the arrangement\'s folder')


@pytest.mark.parametrize("naming", KEYS.values(), ids=KEYS)
def test_a_file_that_is_not_there_is_told_with_its_key(folder: Path, naming: Naming) -> None:
    name = f"gone-{naming.file}"
    beside = "mine.toml" if naming.in_kit else "a.toml"
    told = f'{naming.key} = "{name}": there is no such file; it should lie beside {beside}'
    assert refusal(folder, naming, name) == told


@pytest.mark.parametrize("case", ["a part's base", "the colour of a wash"])
def test_a_file_that_is_no_reflectance_is_told_with_its_key(folder: Path, case: str) -> None:
    (folder / "list.csv").write_text("bread\nmilk\n")
    assert refusal(folder, KEYS[case], "list.csv").startswith(f"{KEYS[case].key}: list.csv: ")


def test_a_folder_reached_by_a_link_is_no_way_out(folder: Path, tmp_path: Path) -> None:
    linked = tmp_path / "linked"
    linked.symlink_to(folder, target_is_directory=True)
    assert opened(linked, KEYS["a mesh"], "box.stl").subject is not None
    assert "leaves the arrangement's folder" in refusal(linked, KEYS["a mesh"], "../box.stl")
