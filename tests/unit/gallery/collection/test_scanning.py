"""A folder's arrangements are found, and what is none is left alone with a word."""

from __future__ import annotations

from pathlib import Path

import pytest

from gallery.collection.scanning import Collection, find_collection
from scenes.errors import InputError

STAND_IN = '[subject]\nmesh = "stand-in:spoon"\n'
SETUP = 'reads_as = "mine"\n[[lamps]]\nrole = "key"\n'
KIT = '[[lamps]]\nname = "a"\npreset = "desk panel"\n'


def write(folder: Path, name: str, text: str = "") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def found(folder: Path, out: str = "sheet", with_meshes: bool = False) -> Collection:
    return find_collection(folder, folder / out, with_meshes)


def names(collection: Collection) -> list[str]:
    return [member.name for member in collection.members]


def test_arrangements_of_a_folder_and_of_those_below_it_are_found_by_name(tmp_path: Path) -> None:
    for name in ("tank.toml", "Bust.TOML", "ships/yawl/yawl.toml", "ships/barge.toml"):
        write(tmp_path, name, STAND_IN)
    collection = found(tmp_path)
    assert names(collection) == ["Bust.TOML", "ships/barge.toml", "ships/yawl/yawl.toml", "tank.toml"]
    assert [member.file for member in collection.members] == [tmp_path / name for name in names(collection)]
    assert collection.notes == ()


def test_what_is_hidden_or_was_written_by_a_sheet_or_a_writeup_is_passed_over(tmp_path: Path) -> None:
    write(tmp_path, "tank.toml", STAND_IN)
    for name in (".hidden.toml", ".git/tank.toml", "sheet/tank.toml", "writeup/again/loop.toml"):
        write(tmp_path, name, STAND_IN)
    write(tmp_path, "writeup/article.md")
    assert names(found(tmp_path)) == ["tank.toml"]
    assert names(found(tmp_path, out="elsewhere")) == ["sheet/tank.toml", "tank.toml"]


def test_sheets_whose_arrangement_was_removed_or_renamed_are_named_and_left_alone(tmp_path: Path) -> None:
    write(tmp_path, "tank.toml", STAND_IN)
    for name in ("tank", "zeppelin", "plane"):
        write(tmp_path, f"sheets/{name}/sheet.json")
    write(tmp_path, "sheets/notes/mine.txt")
    collection = found(tmp_path, out="sheets")
    assert collection.notes == ("left alone, sheets whose arrangement is no longer here: plane, zeppelin",)
    assert (tmp_path / "sheets/plane/sheet.json").exists()


def test_setups_kits_and_other_programs_files_are_no_failures(tmp_path: Path) -> None:
    write(tmp_path, "tank.toml", f'kit = "lamps.toml"\n{STAND_IN}')
    write(tmp_path, "lamps.toml", KIT)
    write(tmp_path, "mine.toml", SETUP)
    write(tmp_path, "book.toml", 'title = "Rust"\n[build]\nname = "x"\n')
    collection = found(tmp_path)
    assert names(collection) == ["tank.toml"]
    assert collection.members[0].mistakes == ()
    assert collection.notes == (
        "left alone, no arrangements: book.toml",
        "left alone, setups, which --setup FILE shows: mine.toml",
    )


def test_a_mistake_is_known_before_any_mesh_is_read(tmp_path: Path) -> None:
    write(tmp_path, "gone.toml", '[subject]\nmesh = "gone.stl"\nheight_cm = 5\n')
    write(tmp_path, "key.toml", f"{STAND_IN}heigth_cm = 5\n")
    write(tmp_path, "lamp.toml", f'{STAND_IN}[[lamps]]\nname = "a"\npreset = "desk panel"\nphotometry = "gone.ies"\n')
    write(tmp_path, "syntax.toml", "[subject\n")
    write(tmp_path, "right.toml", STAND_IN)
    mistakes = {member.name: member.mistakes for member in found(tmp_path).members}
    assert mistakes.pop("right.toml") == ()
    assert len(mistakes) == 4
    assert all(mistakes.values())
    assert all(told.startswith(f"{tmp_path / name}: ") for name, sentences in mistakes.items() for told in sentences)
    assert "there is no such file" in mistakes["gone.toml"][0]
    assert "height_cm" in mistakes["key.toml"][0]


def test_meshes_that_no_arrangement_names_are_members_only_where_their_size_is_given(tmp_path: Path) -> None:
    write(tmp_path, "tank/tank.toml", '[subject]\nmesh = ["hull.stl", "parts/turret.stl"]\nunit = "mm"\n')
    write(tmp_path, "broken.toml", "[subject\n")
    for mesh in ("tank/hull.stl", "tank/parts/turret.stl", "broken.glb", "orc.stl", "orc.obj"):
        write(tmp_path, mesh)
    assert names(found(tmp_path)) == ["broken.toml", "tank/tank.toml"]
    (note,) = found(tmp_path).notes
    assert note.startswith("left alone, meshes that no arrangement names: orc.obj, orc.stl; a size for all of them")
    taken = found(tmp_path, with_meshes=True)
    assert names(taken) == ["broken.toml", "orc.obj", "orc.stl", "tank/tank.toml"]
    assert taken.notes == ()


def test_a_folder_of_bare_meshes_without_a_size_is_refused(tmp_path: Path) -> None:
    write(tmp_path, "orc.stl")
    with pytest.raises(InputError) as caught:
        found(tmp_path)
    assert str(caught.value).startswith(
        f"{tmp_path}: no arrangement (.toml) is in it or below it; a size for all its meshes (1), as --height-cm"
    )
    assert names(found(tmp_path, with_meshes=True)) == ["orc.stl"]


def test_a_size_for_a_folder_without_bare_meshes_is_refused(tmp_path: Path) -> None:
    write(tmp_path, "tank.toml", STAND_IN)
    with pytest.raises(InputError, match="an arrangement says its own"):
        found(tmp_path, with_meshes=True)


def test_an_empty_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no arrangement"):
        found(tmp_path)


def test_links_are_not_followed_and_named(tmp_path: Path) -> None:
    write(tmp_path, "club/tank.toml", STAND_IN)
    write(tmp_path, "elsewhere/other.toml", STAND_IN)
    (tmp_path / "club" / "loop").symlink_to(tmp_path / "club", target_is_directory=True)
    (tmp_path / "club" / "other.toml").symlink_to(tmp_path / "elsewhere" / "other.toml")
    (tmp_path / "club" / "gone.stl").symlink_to(tmp_path / "gone.stl")
    collection = found(tmp_path / "club")
    assert names(collection) == ["tank.toml"]
    assert collection.notes == ("left alone, links: gone.stl, loop, other.toml",)


def test_arrangements_that_name_a_mesh_alike_have_the_same_model(tmp_path: Path) -> None:
    write(tmp_path, "orc.stl")
    write(tmp_path, "below/orc.stl")
    of_18 = '[subject]\nmesh = "orc.stl"\nheight_cm = 18\n'
    write(tmp_path, "a.toml", of_18)
    write(tmp_path, "b.toml", f"{of_18}topcoat = 20\n[camera]\nstops = 1\n")
    write(tmp_path, "c.toml", of_18.replace("18", "9"))
    write(tmp_path, "below/a.toml", of_18)
    models = {member.name: member.model for member in found(tmp_path).members}
    assert models["a.toml"] == models["b.toml"]
    assert len(set(models.values())) == 3
