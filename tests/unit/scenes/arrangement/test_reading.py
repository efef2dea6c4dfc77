"""Wrong input gets one sentence: the file, the key, what was found, what would be right."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from materials.surface.finish import Finish
from materials.surface.glossmeter import gloss_units
from scenes.arrangement.arrangement import Arrangement
from scenes.arrangement.folder import Folder
from scenes.arrangement.reading import fill_model, read_model, read_toml
from scenes.arrangement.resolving import read_arrangement, resolve_values
from scenes.arrangement.subject_model import SubjectModel
from scenes.arrangement.value_types import GLOSS_RANGE
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
        "lamps[2] \"B\": unknown key 'lumen' (did you mean 'lumens'?)",
    ),
    "a key misspelt in a part of the subject": (
        MESH + '[[subject.parts]]\nmacth = "b"',
        "unknown key 'subject.parts[1].macth' (did you mean 'match'?)",
    ),
    "a key of earlier files, of the parts without a topcoat": (
        MESH + 'mask = ["window*"]',
        "subject.mask is now called no_topcoat",
    ),
    "a key of earlier files, of a primer": (
        MESH + '[[subject.parts]]\nsurface = "bare"',
        "subject.parts[1].surface is now called primer: write primer = true",
    ),
    "a key of earlier files, of a lamp that cannot be dimmed": (
        LAMP + SECOND + "dims = false",
        'lamps[2] "B": dims is now called dimmable',
    ),
    "a key of earlier files, of a diffuser on a lamp": (
        LAMP + 'sheet = "tracing paper"',
        'lamps[1] "A": sheet is now called diffuser',
    ),
    "a list of the file's own at the end, which TOML takes for the last section's": (
        '[room]\nlux = 40\ncards = ["A4 white paper"]',
        "unknown key 'room.cards': cards belongs at the top of the file, above the first section",
    ),
    "a key like no other": (
        "[room]\nzzz = 1",
        "unknown key 'room.zzz' (there are: clear_cm, kelvin, lux)",
    ),
    "words for a number": (
        '[camera]\ndistance_cm = "far"',
        'camera.distance_cm = "far": should be a number',
    ),
    "words for a whole number": (MESH + 'triangles = "few"', 'subject.triangles = "few": should be a whole number'),
    "a part of a triangle": (MESH + "triangles = 1500.5", "subject.triangles = 1500.5: should be a whole number"),
    "more triangles than a computer counts": (
        MESH + "triangles = 1e300",
        "subject.triangles = 1e+300: should be a smaller number",
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
        "for how light it is; the most vivid of that hue is lab(60, 80.49, 53.66)",
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
        'lamps[1] "A": size_cm = 20: should be a list in square brackets',
    ),
    "too short a list": (
        LAMP + "at_cm = [1]\naim_cm = [0, 0, 0]",
        'lamps[1] "A": at_cm = [1]: should have 3 numbers, not 1',
    ),
    "too long a list": (
        '[[lamps]]\nname = "A"\nsize_cm = [20, 14, 3]',
        'lamps[1] "A": size_cm = [20, 14, 3]: should have 2 numbers, not 3',
    ),
    "a word within a list": (
        LAMP + 'at_cm = [0, 1, "up"]\naim_cm = [0, 0, 0]',
        'lamps[1] "A": at_cm[3] = "up": should be a number',
    ),
    "a side below zero": (
        '[[lamps]]\nname = "A"\nsize_cm = [20, -14]',
        'lamps[1] "A": size_cm[2] = -14: should be 0.01 or more',
    ),
    "negative lumens": (
        LAMP + SECOND + "lumens = -5",
        'lamps[2] "B": lumens = -5: should be greater than 0',
    ),
    "no number for lumens": (
        LAMP + "lumens = nan",
        'lamps[1] "A": lumens = nan: should be a finite number',
    ),
    "an endless distance": (
        "[camera]\ndistance_cm = inf",
        "camera.distance_cm = inf: should be a finite number",
    ),
    "too low a colour temperature": (
        LAMP + "kelvin = 400",
        'lamps[1] "A": kelvin = 400: should be 1000 or more',
    ),
    "too high a colour temperature": (
        LAMP + "kelvin = 56000",
        'lamps[1] "A": kelvin = 56000: should be 25000 or less',
    ),
    "a dimmer in per cent": (
        LAMP + "dimmer = 40",
        'lamps[1] "A": dimmer = 40: should be 1 or less, as 0.4 for 40 %',
    ),
    "an unknown kind of lamp": (
        LAMP + 'kind = "panle"',
        "lamps[1] \"A\": kind = \"panle\": should be 'panel', 'disc', 'ring' or 'bulb' (did you mean 'panel'?)",
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
        "cards[1].facing = [0, 0, 0]: a direction needs a number that is not 0",
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
        'lamps[1] "A": a panel takes size_cm = [width, height]',
    ),
    "a disc with sides": (
        LAMP + 'kind = "disc"',
        'lamps[1] "A": a disc takes diameter_cm',
    ),
    "a lamp placed but not aimed": (
        LAMP + "at_cm = [0, 1, 3]",
        'lamps[1] "A": a lamp fixed by hand takes both at_cm and aim_cm',
    ),
    "a shutter without an ISO": (
        "[camera]\nshutter_s = 1",
        "camera: shutter_s and iso fix the exposure together: give both, or neither",
    ),
    "an unknown white balance": (
        '[camera]\nwhite_balance = "daylight"',
        "camera.white_balance = \"daylight\": should be 'auto' or a number or a list in square brackets",
    ),
    "a white balance no lamp has": (
        "[camera]\nwhite_balance = 100",
        "camera.white_balance = 100: should be 'auto' or 1000 or more or a list in square brackets",
    ),
    "a white balance that is no light": (
        "[camera]\nwhite_balance = [0.5, 0.6]",
        "camera.white_balance = [0.5, 0.6]: x and y of a chromaticity are less than 1 together, as [0.38, 0.38]",
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
        "line 2 is not valid TOML: [subject: a section ends with its bracket, as [subject]",
    ),
    "a key that is named like a type": (
        "floats = 1",
        "unknown key 'floats' (did you mean 'format'?)",
    ),
    "a key of a table that is named like a type": (
        MESH + "literal_size = 1",
        "unknown key 'subject.literal_size' (there are: faces_deg, flatten, front, height_cm, hero, hide, kind, "
        "length_cm, mesh, no_topcoat, parts, plinth, real_height_m, real_length_m, real_width_m, scale, topcoat, "
        "triangles, unit, up, wash, width_cm)",
    ),
    "a number for a mesh": (
        "[subject]\nmesh = 3",
        "subject.mesh = 3: should be text in quotes or a list in square brackets",
    ),
    "a number among meshes": (
        '[subject]\nmesh = ["a.stl", 3]',
        "subject.mesh[2] = 3: should be text in quotes",
    ),
    "a place that is out of this world": (
        LAMP + "at_cm = [1e300, 0, 10]\naim_cm = [0, 0, 0]",
        'lamps[1] "A": at_cm[1] = 1e+300: should be 10000 or less',
    ),
    "a meter beyond the house": (
        '[[meters]]\nname = "m"\nat_cm = [0, -20000, 10]\nfacing = [0, 0, 1]',
        'meters[1] "m": at_cm[2] = -20000: should be -10000 or more',
    ),
    "a camera nearer than anything can be": (
        "[camera]\ndistance_cm = 1e-300",
        "camera.distance_cm = 1e-300: should be 0.01 or more",
    ),
    "a wash in lines finer than pigment": (
        MESH + "wash = {width_mm = 5e-324}",
        "subject.wash.width_mm = 5e-324: should be 0.01 or more",
    ),
    "a card that faces out of this world": (
        CARD + "facing = [0, 1e300, 0]",
        "cards[1].facing[2] = 1e+300: should be 10000 or less",
    ),
    "a plinth higher than the table": (
        MESH + "plinth = {height_cm = 2000}",
        "subject.plinth.height_cm = 2000: should be 100 or less",
    ),
    "a topcoat below what the roughest surface reads": (
        MESH + "topcoat = 0.05",
        "subject.topcoat = 0.05: should be 0.1 or more",
    ),
    "a name that a terminal would obey": (
        '[[lamps]]\nname = "\\u001b[2J"\nsize_cm = [20, 14]',
        'lamps[1] "\\x1b[2J": name = "\\x1b[2J": a name is one line of text, without control characters',
    ),
    "a name as long as a page": (
        f'title = "{"a" * 301}"',
        f'title = "{"a" * 28}...{"a" * 27}": should have 300 characters or fewer',
    ),
    "a key as long as a book": (
        f"{'k' * 200_000} = 1",
        f"unknown key '{'k' * 29}...{'k' * 28}' (there are: backdrop, camera, cards, format, kit, lamps, meters, "
        "room, subject, title)",
    ),
    "more lamps than a house has": (
        LAMP * 51,
        "lamps = [{'name': 'A', 'size_cm': [20...: 'A', 'size_cm': [20, 14]}]: should have 50 or fewer, not 51",
    ),
    "a whole number of more than 64 bits": (
        f"[camera]\niso = 0x{'f' * 5000}",
        "camera.iso is a whole number beyond 64 bits, which TOML has none of",
    ),
    "a whole number of thousands of digits": (
        f"[camera]\niso = {'9' * 5000}",
        "not valid TOML: a whole number has 19 digits at most",
    ),
    "a key nested deep": (
        ".".join("a" * 100_000) + " = 1",
        "its keys or lists are nested more than 16 deep; write them flat",
    ),
    "a quoted key nested deep within a table": (
        "room = {lux = 1, " + " . ".join([r'"a.\""'] * 40_000) + " = 1}",
        "its keys or lists are nested more than 16 deep; write them flat",
    ),
    "a list nested deep": (
        "title = " + "[" * 50_000,
        "its keys or lists are nested more than 16 deep; write them flat",
    ),
    "a list nested somewhat deep": (
        "title = " + "[" * 20 + "]" * 20,
        "its keys or lists are nested more than 16 deep; write them flat",
    ),
    "a scale that is none": (
        MESH + 'scale = "half"',
        'subject.scale = "half": a scale is written 1:N, as "1:35"',
    ),
    "a scale of nothing": (
        MESH + 'scale = "1:0"',
        'subject.scale = "1:0": a scale is written 1:N, as "1:35"',
    ),
    "a key given twice": (
        "format = 1\nformat = 1\n",
        "line 2 is not valid TOML: format = 1: its key stands there twice: keep one",
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
no_topcoat = ["window*"]
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
exposure = "key"
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


@contextmanager
def within_seconds(seconds: int) -> Iterator[None]:
    """End what waits for ever, on systems that have alarms."""

    def ring(*_: object) -> None:
        raise AssertionError(f"nothing came back in {seconds} s")

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        resolve_values(read_arrangement(path), Folder(path.parent, str(path)))
    return str(caught.value)


@pytest.mark.parametrize(("text", "sentence"), REFUSED.values(), ids=REFUSED)
def test_a_mistake_is_told_in_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    path = written(tmp_path, text)
    assert refusal(path) == f"{path}: {sentence}"


def test_a_long_value_is_told_by_its_beginning_and_its_end(tmp_path: Path) -> None:
    path = written(tmp_path, f'[camera]\ndistance_cm = "{"far " * 40}"')
    shown = f'"{"far " * 7}...{"ar " + "far " * 6}"'
    assert refusal(path) == f"{path}: camera.distance_cm = {shown}: should be a number"


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    path = tmp_path / "none.toml"
    assert refusal(path) == f"{path}: there is no such file; check the spelling"


def test_a_folder_is_told_from_a_file(tmp_path: Path) -> None:
    assert refusal(tmp_path) == f"{tmp_path}: this is a folder; name the TOML file in it"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files in folders")
def test_a_pipe_is_told_from_a_file_and_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "pipe.toml"
    os.mkfifo(path)  # type: ignore[attr-defined,unused-ignore]  # not on Windows
    with within_seconds(20):
        assert refusal(path) == f"{path}: this is no file of its own; copy the TOML file into one"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files in folders")
def test_a_device_is_told_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "null.toml"
    path.symlink_to("/dev/null")
    assert refusal(path) == f"{path}: this is no file of its own; copy the TOML file into one"


def test_a_file_too_large_for_an_arrangement_is_refused(tmp_path: Path) -> None:
    path = written(tmp_path, "#" * 500_001)
    assert refusal(path) == f"{path}: it is larger than 0.5 MB, where an arrangement takes a few kB"
    assert read_arrangement(written(tmp_path, "#" * 500_000)) == Arrangement()


def test_a_link_that_leads_to_itself_is_told(tmp_path: Path) -> None:
    path = tmp_path / "round.toml"
    path.symlink_to(path)
    assert refusal(path) == f"{path}: it cannot be read (Too many levels of symbolic links); check who may read it"


def test_a_name_that_no_file_can_have_is_told(tmp_path: Path) -> None:
    assert refusal(tmp_path / f"{'a' * 300}.toml").endswith(
        "it cannot be read (File name too long); check who may read it"
    )
    with pytest.raises(InputError, match="there is no such file"):
        read_toml(Path("a\0.toml"))


def test_text_with_many_dots_is_no_deep_key(tmp_path: Path) -> None:
    text = f'title = "{"a.b" * 40}"\n# {"a." * 40}\n[camera]\n' + "# a\n" * 1000 + "\n" * 1000 + "height_cm = 1.5\n"
    assert read_arrangement(written(tmp_path, text)).camera.height_cm == 1.5


def test_a_file_that_is_not_text_is_told(tmp_path: Path) -> None:
    path = tmp_path / "photo.toml"
    path.write_bytes(b"\xff\xd8\xff\xe0\x00\x10")
    assert refusal(path) == f"{path}: this is not a text file; an arrangement is written in TOML"


def test_a_path_through_a_file_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, "format = 1") / "inner.toml"
    assert refusal(path) == f"{path}: it cannot be read (Not a directory); check who may read it"


def test_a_file_that_begins_with_an_encoding_mark_is_read(tmp_path: Path) -> None:
    path = tmp_path / "notepad.toml"
    path.write_bytes(b"\xef\xbb\xbf" + 'title = "Für Anna"'.encode())
    assert read_arrangement(path).title == "Für Anna"


def test_the_example_of_the_handbook_is_read(tmp_path: Path) -> None:
    arrangement = read_arrangement(written(tmp_path, EXAMPLE))
    subject = arrangement.subject
    assert subject is not None
    assert (subject.height_cm, subject.faces_deg, subject.hero, subject.no_topcoat) == (
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
    right = "should be 'hero', 'middle', 'base' or 'sheet'"
    assert str(caught.value) == f'{path}: lamps[1] "key": aim = "heroo": {right} (did you mean \'hero\'?)'


def test_a_setup_without_lamps_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('reads_as = "mine"\nlamps = []\n', encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_model(path, Setup)
    assert str(caught.value) == f"{path}: lamps = []: should have 1 or more"


def test_a_lamp_of_a_setup_stands_away_from_its_aim(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('reads_as = "mine"\n[[lamps]]\nrole = "key"\ndistance = 1e-300\n', encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_model(path, Setup)
    assert str(caught.value) == f'{path}: lamps[1] "key": distance = 1e-300: should be 0.01 or more'


def test_a_setup_of_ten_thousand_lamps_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('reads_as = "mine"\n' + '[[lamps]]\nrole = "key"\n' * 10_000, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_model(path, Setup)
    assert str(caught.value).startswith(f"{path}: lamps = [")
    assert str(caught.value).endswith("should have 20 or fewer, not 10000")


@pytest.mark.parametrize("gloss", GLOSS_RANGE)
def test_the_least_and_the_most_gloss_that_are_taken_can_be_drawn(gloss: float) -> None:
    subject = fill_model({"mesh": "a.stl", "topcoat": gloss}, SubjectModel, "test")
    assert subject.topcoat == gloss
    coated = Finish.plastic(0.0, 27.0).under_topcoat(gloss)
    assert gloss_units(coated.roughness) == pytest.approx(gloss, rel=1e-6)
    assert gloss_units(1.0) == pytest.approx(GLOSS_RANGE[0], rel=0.02)
    assert gloss_units(0.0) == pytest.approx(GLOSS_RANGE[1], rel=0.02)
