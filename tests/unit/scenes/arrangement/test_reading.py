"""Wrong input gets one sentence: the file, the key, what was found, what would be right."""

from __future__ import annotations

from pathlib import Path

import pytest

from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.loading import read_arrangement
from scenes.arrangement.reading import fill_model, read_model
from scenes.errors import InputError
from scenes.setups.setup import Setup

LAMP = '[[lamps]]\nname = "A"\nsize_cm = [20, 14]\n'
SECOND = '[[lamps]]\nname = "B"\nsize_cm = [20, 14]\n'
MESH = '[subject]\nmesh = "a.stl"\n'
CARD = "[[cards]]\nsize_cm = [20, 14]\nat_cm = [0, 1, 3]\n"

REFUSED = {
    "a key misspelt at the top": (
        "camra = 3",
        "unknown key 'camra' (did you mean 'camera'?)",
    ),
    "a key misspelt in a table": (
        "[camera]\ndistence_cm = 70",
        "unknown key 'camera.distence_cm' (did you mean 'distance_cm'?)",
    ),
    "a key misspelt in the second lamp": (
        LAMP + SECOND + "lumen = 4",
        "unknown key 'lamps[2].lumen' (did you mean 'lumens'?)",
    ),
    "a key misspelt in a part of the subject": (
        MESH + '[[subject.parts]]\nmacth = "b"',
        "unknown key 'subject.parts[1].macth' (did you mean 'match'?)",
    ),
    "a key like no other": (
        "[room]\nzzz = 1",
        "unknown key 'room.zzz' (there are: kelvin, lux)",
    ),
    "words for a number": (
        '[camera]\ndistance_cm = "far"',
        'camera.distance_cm = "far": should be a number',
    ),
    "a number for words": (
        "title = 3",
        "title = 3: should be text in quotes",
    ),
    "words for yes or no": (
        MESH + '[[subject.parts]]\nclear = "rather"',
        'subject.parts[1].clear = "rather": should be true or false',
    ),
    "a metal by an unknown name": (
        MESH + '[[subject.parts]]\nmetal = "golden"',
        "subject.parts[1].metal: no metal is called 'golden' (did you mean 'gold'?)",
    ),
    "a colour that no surface has": (
        MESH + '[[subject.parts]]\nbase = "lab(60, 90, 60)"',
        'subject.parts[1].base = "lab(60, 90, 60)": no surface can have the colour lab(60, 90, 60): it is too vivid '
        "for how light it is; the most vivid of that hue is lab(60, 80.4, 53.6)",
    ),
    "a number for a table": (
        "camera = 3",
        "camera = 3: should be a table: [camera] and its keys below it",
    ),
    "one table where each lamp has its own": (
        '[lamps]\nname = "A"',
        "lamps: write [[lamps]], in double brackets, above each of them",
    ),
    "one number for a width and height": (
        '[[lamps]]\nname = "A"\nsize_cm = 20',
        "lamps[1].size_cm = 20: should be a list in square brackets",
    ),
    "too short a list": (
        LAMP + "at_cm = [1]\naim_cm = [0, 0, 0]",
        "lamps[1].at_cm = [1]: should have 3 numbers, not 1",
    ),
    "too long a list": (
        '[[lamps]]\nname = "A"\nsize_cm = [20, 14, 3]',
        "lamps[1].size_cm = [20, 14, 3]: should have 2 numbers, not 3",
    ),
    "a word within a list": (
        LAMP + 'at_cm = [0, 1, "up"]\naim_cm = [0, 0, 0]',
        'lamps[1].at_cm[3] = "up": should be a number',
    ),
    "a side below zero": (
        '[[lamps]]\nname = "A"\nsize_cm = [20, -14]',
        "lamps[1].size_cm[2] = -14: should be greater than 0",
    ),
    "negative lumens": (
        LAMP + SECOND + "lumens = -5",
        "lamps[2].lumens = -5: should be greater than 0",
    ),
    "no number for lumens": (
        LAMP + "lumens = nan",
        "lamps[1].lumens = nan: should be a finite number",
    ),
    "an endless distance": (
        "[camera]\ndistance_cm = inf",
        "camera.distance_cm = inf: should be a finite number",
    ),
    "too low a colour temperature": (
        LAMP + "kelvin = 400",
        "lamps[1].kelvin = 400: should be 1000 or more",
    ),
    "too high a colour temperature": (
        LAMP + "kelvin = 56000",
        "lamps[1].kelvin = 56000: should be 25000 or less",
    ),
    "a dimmer in per cent": (
        LAMP + "dimmer = 40",
        "lamps[1].dimmer = 40: should be 1 or less",
    ),
    "an unknown kind of lamp": (
        LAMP + 'kind = "panle"',
        "lamps[1].kind = \"panle\": should be 'panel', 'disc', 'ring' or 'bulb'",
    ),
    "an unknown finish": (
        MESH + 'topcoat = "satn"',
        "subject.topcoat: no finish is called 'satn' (did you mean 'satin'?)",
    ),
    "more gloss than a coat can have": (
        MESH + "topcoat = 95",
        "subject.topcoat = 95: should be 89 or less",
    ),
    "an unknown board": (
        '[backdrop]\nreflectance = "white papr"',
        "backdrop.reflectance: no board or paper is called 'white papr' (did you mean 'white paper'?)",
    ),
    "an unknown board in a card": (
        CARD + 'facing = [0, 0, 1]\nreflectance = "grey crd"',
        "cards[1].reflectance: no board or paper is called 'grey crd' (did you mean 'grey card'?)",
    ),
    "a board that returns more than it gets": (
        "[backdrop]\nreflectance = 1.8",
        "backdrop.reflectance = 1.8: a reflectance lies between 0 and 1",
    ),
    "a list for a reflectance": (
        "[backdrop]\nreflectance = [1]",
        "backdrop.reflectance = [1]: a reflectance is a number from 0 to 1 or the name of a board or paper",
    ),
    "an unknown room": (
        '[room]\nlux = "evening lmp"',
        "room.lux: no room light is called 'evening lmp' (did you mean 'evening lamp'?)",
    ),
    "a room darker than dark": (
        "[room]\nlux = -3",
        "room.lux = -3: should be 0 or more",
    ),
    "a card that faces nowhere": (
        CARD + "facing = [0, 0, 0]",
        "cards[1].facing = [0, 0, 0]: a direction needs a number that is not 0, and none that is huge",
    ),
    "a metal with gloss": (
        MESH + "[[subject.parts]]\n[[subject.parts]]\nmetal = true\ngloss = 70",
        "subject.parts[2]: metal takes roughness, paint and plastic take gloss",
    ),
    "roughness beside gloss": (
        MESH + "[[subject.parts]]\nroughness = 0.2\ngloss = 70",
        "subject.parts[1]: give roughness or gloss, not both",
    ),
    "a colour by name": (
        MESH + '[[subject.parts]]\nbase = "blue"',
        'subject.parts[1].base = "blue": a colour is written "#b5833c", "lab(52, 41, 30)", Munsell such as "5YR 5/6" '
        'or "N 5", or a file of reflectance.csv',
    ),
    "a subject without a mesh": (
        "[subject]\nheight_cm = 4",
        "key 'subject.mesh' is missing",
    ),
    "a lamp without a name": (
        LAMP + "[[lamps]]\nsize_cm = [20, 14]",
        "key 'lamps[2].name' is missing",
    ),
    "two lamps of a name": (
        LAMP + LAMP,
        "two lamps are called 'A'; give each its own name",
    ),
    "a panel without a size": (
        '[[lamps]]\nname = "A"',
        "lamps[1]: a panel takes size_cm = [width, height]",
    ),
    "a disc with sides": (
        LAMP + 'kind = "disc"',
        "lamps[1]: a disc takes diameter_cm",
    ),
    "a lamp placed but not aimed": (
        LAMP + "at_cm = [0, 1, 3]",
        "lamps[1]: a lamp fixed by hand takes both at_cm and aim_cm",
    ),
    "a shutter without an ISO": (
        "[camera]\nshutter_s = 1",
        "camera: shutter_s and iso fix the exposure together: give both, or neither",
    ),
    "an unknown white balance": (
        '[camera]\nwhite_balance = "daylight"',
        "camera.white_balance = \"daylight\": should be 'auto' or a number",
    ),
    "a white balance no lamp has": (
        "[camera]\nwhite_balance = 100",
        "camera.white_balance = 100: should be 'auto' or 1000 or more",
    ),
    "a format of the future": (
        "format = 2",
        "format = 2: should be 1",
    ),
    "an axis that is none": (
        MESH + 'up = "w"',
        "subject.up = \"w\": should be 'x', 'y', 'z', '-x', '-y' or '-z'",
    ),
    "a turn beyond the back": (
        MESH + "faces_deg = 270",
        "subject.faces_deg = 270: should be 180 or less",
    ),
    "a table that is never closed": (
        'format = 1\n[subject\nmesh = "a.stl"',
        "not valid TOML: expected ']' at the end of a table declaration (at line 2, column 9)",
    ),
    "a key given twice": (
        "format = 1\nformat = 1\n",
        "not valid TOML: cannot overwrite a value (at line 2, column 11)",
    ),
}

# the example of the handbook, with a mesh and a camera that exist by now
EXAMPLE = """
format = 1
title = "Hard-hat diver"

[subject]
mesh = "diver.glb"
height_cm = 18.0
up = "z"
faces_deg = -15
hero = "helmet*"
topcoat = "satin"
mask = ["window*"]
[[subject.parts]]
match = "helmet*"
base = "#b5833c"
metal = true
roughness = 0.2

[camera]
kind = "phone"
distance_cm = 70
height_cm = 15
fill_frame = 0.7
exposure = "auto"
white_balance = "auto"

[backdrop]
kind = "sweep"
reflectance = 0.18
sheet_cm = [70, 100]

[room]
lux = 0.0

[[lamps]]
name = "panel A"
kind = "panel"
size_cm = [20, 14]
lumens = 1000
kelvin = 4000
dimmer = 1.0

[[cards]]
size_cm = [21, 29.7]
reflectance = 0.85
at_cm = [0, -12, 0]
facing = [0, 0, 1]

[[meters]]
name = "nose"
at_cm = [0, -3, 15]
facing = [0, -1, 0]
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "bench.toml"
    path.write_text(text, encoding="utf-8")
    return path


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_arrangement(path)
    return str(caught.value)


@pytest.mark.parametrize(("text", "sentence"), REFUSED.values(), ids=REFUSED)
def test_a_mistake_is_told_in_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    path = written(tmp_path, text)
    assert refusal(path) == f"{path}: {sentence}"


def test_a_long_value_is_told_by_its_beginning(tmp_path: Path) -> None:
    path = written(tmp_path, f'[camera]\ndistance_cm = "{"far " * 40}"')
    shown = f'"{"far " * 40}'[:57]
    assert refusal(path) == f"{path}: camera.distance_cm = {shown}...: should be a number"


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    path = tmp_path / "none.toml"
    assert refusal(path) == f"{path}: there is no such file"


def test_a_folder_is_told_from_a_file(tmp_path: Path) -> None:
    assert refusal(tmp_path) == f"{tmp_path}: this is a folder; name the .toml file in it"


def test_a_file_that_is_not_text_is_told(tmp_path: Path) -> None:
    path = tmp_path / "photo.toml"
    path.write_bytes(b"\xff\xd8\xff\xe0\x00\x10")
    assert refusal(path) == f"{path}: this is not a text file; an arrangement is written in TOML"


def test_a_path_through_a_file_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, "format = 1") / "inner.toml"
    assert refusal(path) == f"{path}: it cannot be read (Not a directory)"


def test_a_file_that_begins_with_an_encoding_mark_is_read(tmp_path: Path) -> None:
    path = tmp_path / "notepad.toml"
    path.write_bytes(b"\xef\xbb\xbf" + 'title = "Für Anna"'.encode())
    assert read_arrangement(path).title == "Für Anna"


def test_the_example_of_the_handbook_is_read(tmp_path: Path) -> None:
    arrangement = read_arrangement(written(tmp_path, EXAMPLE))
    subject = arrangement.subject
    assert subject is not None
    assert (subject.height_cm, subject.faces_deg, subject.hero, subject.mask) == (
        18,
        -15,
        "helmet*",
        ("window*",),
    )
    assert [(part.match, part.metal, part.roughness) for part in subject.parts] == [("helmet*", True, 0.2)]
    assert [(lamp.name, lamp.size_cm, lamp.lumens) for lamp in arrangement.lamps] == [("panel A", (20, 14), 1000)]
    (card,), (meter,) = arrangement.cards, arrangement.meters
    assert (arrangement.backdrop.sheet_cm, card.facing, meter.name) == ((70, 100), (0, 0, 1), "nose")


def test_an_empty_file_is_an_empty_table(tmp_path: Path) -> None:
    arrangement = read_arrangement(written(tmp_path, ""))
    assert (arrangement.subject, arrangement.lamps, arrangement.room.lux) == (None, (), 0)


def test_plain_data_is_told_by_the_name_of_its_source() -> None:
    with pytest.raises(InputError) as caught:
        fill_model({"rooms": {}}, Arrangement, "the form")
    assert str(caught.value) == "the form: unknown key 'rooms' (did you mean 'room'?)"


def test_a_setup_is_read_with_the_same_care(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('reads_as = "mine"\n[[lamps]]\nrole = "key"\naim = "heroo"\n', encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_model(path, Setup)
    right = "should be 'hero', 'middle', 'base' or 'wall'"
    assert str(caught.value) == f'{path}: lamps[1].aim = "heroo": {right}'


def test_a_setup_without_lamps_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('reads_as = "mine"\nlamps = []\n', encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_model(path, Setup)
    assert str(caught.value) == f"{path}: lamps = []: should have 1 or more"
