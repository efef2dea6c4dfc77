"""A finished sheet is opened again from its folder, or refused in one sentence."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import trimesh

from gallery.frames.shots import shots_with_room
from gallery.inputs import open_as_guessed
from gallery.sheet.finished import FinishedSheet, open_finished
from gallery.sheet.request import Request, made_from
from scenes.errors import InputError

ARRANGEMENT = '[subject]\nmesh = "pill.stl"\nheight_cm = 9\n'
SETUP = 'reads_as = "mine"\n[[lamps]]\nrole = "key"\nrise_deg = 40\ndistance = 3\n'


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the current folder, with a mesh, an arrangement of it and a setup below it."""
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "pill.stl")
    (tmp_path / "pill.toml").write_text(ARRANGEMENT)
    (tmp_path / "own").mkdir()
    (tmp_path / "own/mine.toml").write_text(SETUP)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def finish(file: str | None, setups: tuple[str, ...] = ("loop",), **asked: Any) -> FinishedSheet:
    """Write the JSON of a sheet of a request and return the sheet as it is opened again."""
    keys = {"file": file, "sizing": {}, "setups": setups, "size": (30, 40), "quality": "draft", **asked}
    request = Request.model_validate(keys)
    arrangement, _ = open_as_guessed(None if file is None else Path(file), request.sizing)
    shots, _ = shots_with_room(arrangement, request.setups, request.finishes, request.size, request.detail)
    Path("out").mkdir(exist_ok=True)
    facts = {"format": 1, "title": "x", "made_from": made_from(request, Path("out"), shots)}
    Path("out/sheet.json").write_text(json.dumps(facts), encoding="utf-8")
    return open_finished(Path("out"))


def change_json(**keys: Any) -> None:
    path = Path("out/sheet.json")
    path.write_text(json.dumps({**json.loads(path.read_text(encoding="utf-8")), **keys}), encoding="utf-8")


@pytest.mark.parametrize(
    ("file", "asked"),
    [
        ("pill.toml", {"setups": ("rim", "own/mine.toml", "loop"), "finishes": ("gloss", "matt")}),
        ("pill.stl", {"sizing": {"height_cm": 7.0, "unit": None, "faces_deg": 10.0}, "exposure": "sheet"}),
        ("stand-in:bust", {"detail": "*"}),
        pytest.param(None, {"quality": "fine"}, marks=pytest.mark.slow),
    ],
)
def test_it_has_the_shots_in_their_order_and_what_was_asked(file: str | None, asked: dict[str, Any]) -> None:
    sheet = finish(file, **asked)
    setups, finishes = asked.get("setups", ("loop",)), asked.get("finishes", ("as-built",))
    assert [(shot.setup.name, shot.finish) for shot in sheet.shots] == [
        (Path(setup).stem, finish) for setup in setups for finish in finishes
    ]
    assert (sheet.request.file, sheet.request.quality) == (file, asked.get("quality", "draft"))
    assert sheet.shots[0].setup.detail == asked.get("detail")


def test_its_shots_are_called_by_setup_and_finish_in_the_order_asked() -> None:
    sheet = finish("pill.toml", ("rim", "own/mine.toml", "loop"), finishes=("gloss", "matt"))

    def called(setups: tuple[str, ...], finishes: tuple[str, ...]) -> list[tuple[str, str]]:
        return [(shot.setup.name, shot.finish) for shot in sheet.shots_called(setups, finishes)]

    assert called(("LOOP", "own/mine.toml", "loop"), ("matt",)) == [("loop", "matt"), ("mine", "matt")]
    assert called((), ()) == [(shot.setup.name, shot.finish) for shot in sheet.shots]
    with pytest.raises(InputError) as caught:
        called(("loop",), ("mat",))
    assert str(caught.value) == "--finish mat: is not in the sheet out (did you mean 'matt'?)"


def test_it_is_found_from_anywhere_since_its_files_are_named_from_its_folder(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = finish("pill.toml", ("own/mine.toml",))
    assert here.facts["made_from"]["file"] == "../pill.toml"
    monkeypatch.chdir(folder / "own")
    there = open_finished(folder / "out")
    assert (there.request.file, there.request.setups) == ("../pill.toml", ("mine.toml",))
    assert [shot.fingerprint for shot in there.shots] == [shot.fingerprint for shot in here.shots]


@pytest.mark.parametrize(
    ("name", "text"), [("pill.toml", ARRANGEMENT + "faces_deg = 5\n"), ("own/mine.toml", SETUP + "round_deg = 20\n")]
)
def test_one_whose_files_changed_since_is_refused(folder: Path, name: str, text: str) -> None:
    finish("pill.toml", ("own/mine.toml",))
    (folder / name).write_text(text)
    with pytest.raises(InputError) as caught:
        open_finished(Path("out"))
    assert str(caught.value) == (
        f"{Path('out/sheet.json')}: pill.toml or its files have changed since the sheet was made; make it again with "
        "spruelight sheet"
    )


def test_one_whose_mesh_changed_since_is_refused(folder: Path) -> None:
    finish("pill.toml")
    trimesh.creation.capsule(height=7, radius=2).export(folder / "pill.stl")
    with pytest.raises(InputError, match="have changed since the sheet was made"):
        open_finished(Path("out"))


def test_a_folder_without_a_sheet_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        open_finished(Path("own"))
    assert str(caught.value) == (
        "own: no finished sheet is in it (sheet.json); spruelight sheet FILE --out own makes one of your model or "
        "arrangement"
    )


def test_a_file_is_refused_as_no_folder_of_a_sheet() -> None:
    with pytest.raises(InputError, match=r"^pill.toml: is a file; name the folder that spruelight sheet wrote to"):
        open_finished(Path("pill.toml"))


@pytest.mark.parametrize("text", ["", "[]", "{", "[" * 100_000, '{"format": 2}', '{"format": 1', "\xff"])
def test_other_json_is_refused(text: str) -> None:
    Path("out").mkdir()
    Path("out/sheet.json").write_bytes(text.encode("latin-1"))
    with pytest.raises(InputError, match=r"sheet\.json: is not the JSON of a contact sheet; make it again"):
        open_finished(Path("out"))


def test_a_sheet_of_an_earlier_version_is_refused() -> None:
    finish("pill.toml")
    change_json(made_from=None)
    with pytest.raises(InputError, match=r"does not say what it was made from; make it again with spruelight sheet"):
        open_finished(Path("out"))


def test_a_wrong_key_of_it_is_named() -> None:
    made = finish("pill.toml").facts["made_from"]
    change_json(made_from={**made, "quality": "good"})
    with pytest.raises(InputError, match=r'sheet\.json: made_from\.quality = "good": should be'):
        open_finished(Path("out"))


def test_a_file_that_is_gone_is_named(folder: Path) -> None:
    finish("pill.toml")
    (folder / "pill.toml").unlink()
    with pytest.raises(InputError, match=r"^pill\.toml: there is no such file"):
        open_finished(Path("out"))
