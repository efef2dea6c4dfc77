"""Every command, run as a person runs it, on small pictures."""

from __future__ import annotations

import json
import re
import signal
import time
from pathlib import Path

import pypdfium2
import pytest
import trimesh

from gallery.files.pictures import read_picture
from tests.support.command import run, start

SIZE = ("--size", "60x80")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "pill.stl")
    return tmp_path


def _run(folder: Path, *words: str, cache: Path | None = None) -> str:
    """Return what a command prints; it is quiet where stderr is no terminal, but for the tally of a sheet or strip.

    A sheet of a quality is summed up in three lines more.
    """
    printed, told = _ran(folder, *words, cache=cache)
    lines = 4 if "--quality" in words else 1
    assert told == "" or (words[0] in ("sheet", "strip") and told.startswith("traced ") and told.count("\n") == lines)
    return printed


def _ran(folder: Path, *words: str, cache: Path | None = None) -> tuple[str, str]:
    ran = run(folder, *words, cache=cache)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout, ran.stderr


def test_sheet_writes_picture_facts_and_frames(folder: Path) -> None:
    out = _run(
        folder, "sheet", "pill.stl", "--height-cm", "9", "--setup", "loop", "--setup", "rim-fill",
        "--finish", "gloss", "--finish", "matt", *SIZE, "--out", "out",
    )  # fmt: skip
    assert out.strip() == str(Path("out/sheet.png"))
    facts = json.loads((folder / "out/sheet.json").read_text())
    assert facts["format"] == 1
    assert [(f["setup"], f["finish"]) for f in facts["frames"]] == [
        ("loop", "gloss"), ("loop", "matt"), ("rim-fill", "gloss"), ("rim-fill", "matt"),
    ]  # fmt: skip
    frame = facts["frames"][2]
    assert [lamp["role"] for lamp in frame["lamps"]] == ["rim", "second rim", "fill"]
    for row in (facts["frames"][:2], facts["frames"][2:]):
        assert row[0]["camera"] == row[1]["camera"]  # so that finishes compare
    assert facts["exposure"] == "one exposure in all finishes of a setup"
    assert 0 < frame["lamps"][2]["dimmer"] < 1  # solved
    assert set(frame["lamps"][0]) >= {"name", "role", "at_cm", "aim_cm", "lumens", "kelvin", "dimmer"}
    assert set(frame["camera"]) >= {"iso", "shutter_s", "f_number", "white_balance_kelvin", "ev100", "metered"}
    assert set(frame["readings"]) == {
        "subject_lux", "key_to_fill_stops", "backdrop_stops", "clipped_percent", "backdrop_clipped_percent",
        "crushed_percent", "edge_stops", "room_stops", "shine_lightness", "highlight_percent",
        "texture_contrast_stops",
    }  # fmt: skip
    for f in facts["frames"]:
        assert read_picture(folder / "out/frames" / f"{f['setup']}--{f['finish']}.png").shape == (80, 60, 3)
    assert not [p for p in folder.rglob(".*") if p.is_file()]


def test_a_sheet_of_one_exposure_says_so_and_has_the_shortest_of_those_that_its_frames_have_on_their_own(
    folder: Path,
) -> None:
    words = ("sheet", "pill.stl", "--height-cm", "9", "--setup", "loop", "--setup", "rim-fill", *SIZE, "--json")
    own, one = (json.loads(_run(folder, *words, "--exposure", scope)) for scope in ("setup", "sheet"))
    assert own["exposure"] == "each frame has its own exposure"
    assert one["exposure"].startswith("one exposure in all frames: 1/")
    highest = max(frame["camera"]["ev100"] for frame in own["frames"])
    assert [frame["camera"]["ev100"] for frame in one["frames"]] == [highest, highest]


def test_a_sheet_for_a_printer_has_the_setups_in_the_order_named(folder: Path) -> None:
    words = ("sheet", "pill.stl", "--height-cm", "9", *SIZE, "--setup", "rim", "--setup", "loop", "--paper", "letter")
    assert _run(folder, *words).split() == [str(Path("sheet/sheet.png")), str(Path("sheet/sheet.pdf"))]
    (page,) = pypdfium2.PdfDocument(folder / "sheet/sheet.pdf")
    assert page.get_size() == pytest.approx((8.5 * 72, 11 * 72))
    text = page.get_textpage().get_text_range().splitlines()
    assert text.index("rim") < text.index("loop")
    assert "9 cm tall; each frame has its own exposure; a draft" in text


def test_a_sheet_says_what_it_traced_and_what_it_reused_and_is_the_same_of_both(folder: Path) -> None:
    words = ("sheet", "pill.stl", "--height-cm", "9", *SIZE, "--setup", "butterfly", "--setup", "rim")

    def tally(*more: str) -> str:
        return _ran(folder, *words, *more, cache=folder / "cache")[1]

    assert tally() == "traced 3 lamp images on 2 geometries, reused none\n"  # rim has a black sheet
    pictures = {path: path.read_bytes() for path in (folder / "sheet").rglob("*.png")}
    assert tally() == "traced nothing, reused 3 lamp images\n"
    assert len(pictures) == 3
    assert all(path.read_bytes() == before for path, before in pictures.items())
    assert tally("--setup", "rim-fill") == "traced 1 lamp image on 1 geometry, reused 3\n"
    assert tally("--finish", "matt").startswith("traced 3 lamp images on 2 geometries")


def test_a_strip_writes_picture_facts_and_frames_and_of_a_close_up_what_a_line_measures(folder: Path) -> None:
    words = ("strip", "lamps.key.dimmer=1,0.5,0.25", "pill.stl", "--setup", "loop", "--height-cm", "9", *SIZE)
    said = _run(folder, *words, "--detail", "mod*")
    assert said.splitlines()[0] == str(Path("strip/strip.png"))
    assert [line.split(":")[0] for line in said.splitlines()[1:]] == ["100 %", "50 %", "25 %"]
    assert said.count("a 0.2 mm line is 0.1 pixels wide here") == 3
    facts = json.loads((folder / "strip/strip.json").read_text())
    assert (facts["format"], facts["field"], facts["values"]) == (1, "lamps.key.dimmer", [1, 0.5, 0.25])
    assert [frame["value"] for frame in facts["frames"]] == facts["values"]
    assert [frame["lamps"][0]["dimmer"] for frame in facts["frames"]] == facts["values"]
    assert facts["frames"][0]["camera"] == facts["frames"][2]["camera"]
    frames = sorted((folder / "strip/frames").iterdir())
    assert [frame.name for frame in frames] == [
        f"loop--lamps.key.dimmer={value}--mod.png" for value in ("0.25", "0.5", "1")
    ]
    brightness = [read_picture(frame).mean() for frame in frames]
    assert brightness == sorted(brightness)
    assert brightness[2] > 1.5 * brightness[0]


def test_a_size_may_be_a_scale_of_the_real_thing(folder: Path) -> None:
    said = _run(folder, "check", "pill.stl", "--scale", "1:20", "--real-height-m", "1.8")
    assert "9 cm tall" in said
    assert "x 9 cm, " in said


def test_a_glossy_finish_has_a_brighter_highlight_than_a_matt_one(folder: Path) -> None:
    words = ("pill.stl", "--height-cm", "9", *SIZE)
    _run(folder, "sheet", *words, "--setup", "broad", "--finish", "gloss", "--finish", "matt", "--out", "out")
    gloss, matt = (read_picture(folder / f"out/frames/broad--{f}.png").max() for f in ("gloss", "matt"))
    assert gloss > matt


def test_proof_says_where_the_lamp_stands_and_the_same_run_gives_the_same_file(folder: Path) -> None:
    words = ("proof", "rembrandt", "pill.stl", "--height-cm", "9", *SIZE)
    said = _run(folder, *words)
    assert "cm left and" in said
    assert "in front of the centre mark, lamp centre" in said
    first = (folder / "rembrandt--as-built.png").read_bytes()
    assert _run(folder, *words) == said
    assert (folder / "rembrandt--as-built.png").read_bytes() == first
    facts = json.loads(_run(folder, *words, "--json"))
    assert facts["setup"] == "rembrandt"


def test_a_setup_that_wants_more_lamps_than_are_owned_is_drawn_and_says_so(folder: Path) -> None:
    (folder / "one.toml").write_text(
        '[subject]\nmesh = "pill.stl"\nheight_cm = 9\n[[lamps]]\nname = "desk lamp"\nsize_cm = [10, 10]\n'
    )
    assert "needs 3 lamps, 1 owned" in _run(folder, "proof", "three-point", "one.toml", *SIZE)


def test_a_sheet_goes_on_without_a_setup_that_has_no_room_and_says_so(folder: Path) -> None:
    (folder / "room.toml").write_text(
        '[subject]\nmesh = "pill.stl"\nheight_cm = 9\n'
        "[room]\nclear_cm = { left = 60, right = 60, behind = 60, front = 60, above = 60 }\n"
    )
    (folder / "far.toml").write_text('reads_as = "far"\n[[lamps]]\nrole = "key"\ndistance = 20\n')
    one, both = (folder / out / "sheet.png" for out in ("one", "both"))
    _run(folder, "sheet", "room.toml", "--setup", "loop", *SIZE, "--out", "one")
    _, notes = _ran(folder, "sheet", "room.toml", "--setup", "loop", "--setup", "far.toml", *SIZE, "--out", "both")
    line = notes.splitlines()[0]
    assert line.startswith("far is left out: it wants a lamp in front: ")
    facts = json.loads(both.with_name("sheet.json").read_text())
    assert [frame["setup"] for frame in facts["frames"]] == ["loop"]
    assert facts["left_out"] == [{"setup": "far", "why": line.removeprefix("far is left out: it ")}]
    assert read_picture(both).shape[0] > read_picture(one).shape[0]  # a line at its foot
    refused = run(folder, "proof", "far.toml", "room.toml", *SIZE)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "setup 'far' wants a lamp in front: " in refused.stderr


def test_meter_needs_no_subject_and_reads_a_lambertian_panel(folder: Path) -> None:
    (folder / "table.toml").write_text(
        '[backdrop]\nkind = "none"\n'
        '[[lamps]]\nname = "panel"\nsize_cm = [30, 20]\nat_cm = [0, 0, 50]\naim_cm = [0, 0, 0]\n'
        '[[meters]]\nname = "mark"\nat_cm = [0, 0, 0]\nfacing = [0, 0, 1]\n'
        '[[meters]]\nname = "patch"\nat_cm = [0, 0, 0]\nfacing = [0, 0, 1]\nsize_cm = [4, 4]\n'
    )
    facts = json.loads(_run(folder, "meter", "table.toml", "--json"))
    mark, patch = facts["meters"]
    # Howell, Catalog of Radiation Configuration Factors, B-4: 1000 lm, .30 x .20 m, at .5 m
    assert mark["lux"] == pytest.approx(1172.404, rel=0.003)
    assert mark["by_lamp"] == {"panel": pytest.approx(mark["lux"])}
    assert 0 < mark["lux_error"] < 0.003 * mark["lux"]
    assert patch["lux"] == pytest.approx(mark["lux"], rel=0.005)
    assert "mark" in _run(folder, "meter", "table.toml")


def test_new_writes_an_arrangement_that_can_be_used_and_pictures_of_the_model(folder: Path) -> None:
    written = _ran(folder, "new", "pill.stl", "--height-cm", "9")[0].split()
    assert written == ["pill.toml", "pill-views.png", "pill-parts.png"]
    _run(folder, "proof", "butterfly", "pill.toml", *SIZE)
    drawn = {name: (folder / name).read_bytes() for name in written[1:]}
    lines = _run(folder, "check", "pill.toml", "--picture", "--out", "again").splitlines()
    assert any("9 cm tall" in line for line in lines)
    assert lines[-2:] == [str(Path("again") / name) for name in drawn]
    assert {name: (folder / "again" / name).read_bytes() for name in drawn} == drawn


@pytest.mark.slow
def test_new_states_the_orientation_that_it_guessed(folder: Path) -> None:
    cone = trimesh.creation.cone(3, 10).apply_transform(trimesh.transformations.rotation_matrix(-1.5707963, [1, 0, 0]))
    cone.export(folder / "cone.stl")
    printed, told = _ran(folder, "new", "cone.stl", "--height-cm", "10")
    assert printed.split()[0] == "cone.toml"
    assert "\n--up y was guessed (" in told
    assert "cone-views.png shows how else it may stand" in told


@pytest.mark.parametrize("what", ["setups", "finishes", "metals", "lamps", "cameras"])
def test_list_prints_a_line_for_each_and_the_same_as_json(what: str, folder: Path) -> None:
    facts = json.loads(_run(folder, "list", what, "--json"))
    lines = _run(folder, "list", what).splitlines()
    assert len(lines) == len(facts) >= 2
    assert all(line.startswith(name) for line, name in zip(lines, facts, strict=True))


def test_schema_is_the_arrangements(folder: Path) -> None:
    schema = json.loads(_run(folder, "schema"))
    assert {"subject", "camera", "backdrop", "room", "lamps", "cards", "meters"} <= set(schema["properties"])


def test_doctor_fits_in_a_bug_report_and_finds_our_packages(folder: Path) -> None:
    lines = _run(folder, "doctor").splitlines()
    assert 10 <= len(lines) <= 20
    facts = json.loads(_run(folder, "doctor", "--json"))
    assert facts["packages"].startswith("materials, scenes, render, gallery: all from")
    assert "_ad_spectral" in facts["backend"]


@pytest.mark.slow
def test_without_a_cache_a_sheet_is_the_same_and_a_line_says_that_nothing_is_kept(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (folder / "file").touch()
    words = ("sheet", "pill.stl", "--height-cm", "9", *SIZE, "--setup", "loop", "--finish", "matt", "--finish", "gloss")
    for name in ("cache", "file"):
        _, told = _ran(folder, *words, "--out", f"out-{name}", cache=folder / name)
        assert told == "traced 2 lamp images on 2 geometries, reused none\n"
    (line,) = caplog.messages
    assert f"the cache folder {folder / 'file'} cannot be written to" in line
    assert (folder / "out-file/sheet.png").read_bytes() == (folder / "out-cache/sheet.png").read_bytes()


@pytest.mark.slow
def test_a_stopped_run_says_so_and_the_next_one_goes_on_from_what_it_kept(folder: Path) -> None:
    cache = folder / "cache"
    setups = [word for name in ("loop", "split", "broad", "short", "rembrandt") for word in ("--setup", name)]
    words = ("sheet", "pill.stl", "--height-cm", "9", "--quality", "fine", *setups, *SIZE, "--out", "out")
    running = start(folder, *words, cache=cache)
    deadline = time.monotonic() + 60
    while not list(cache.glob("image-*.arrays")) and time.monotonic() < deadline:
        time.sleep(0.05)  # until the first lamp image is kept
    running.send_signal(signal.SIGINT)
    _, told = running.communicate(timeout=60)
    assert running.returncode == 128 + signal.SIGINT
    line = r"spruelight: stopped; what was traced is kept( but for the last \d+ s)?, and the same command goes on .*\n"
    assert re.fullmatch(line, told)
    assert not (folder / "out/sheet.png").exists()
    _run(folder, *words, cache=cache)
    _run(folder, *words[:-1], "whole", cache=folder / "another")
    assert (folder / "out/sheet.png").read_bytes() == (folder / "whole/sheet.png").read_bytes()
