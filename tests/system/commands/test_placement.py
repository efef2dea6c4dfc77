"""Where everything of a setup stands is told in the same sentences by every command that tells it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import trimesh

from scenes.setups.placement_words.facts import placement_lines
from tests.support.command import run

SETUPS = ("butterfly-card", "low-key")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("placement")
    trimesh.creation.capsule(height=6, radius=2).export(path / "pill.stl")
    words = [word for name in SETUPS for word in ("--setup", name)]
    assert run(path, "sheet", "pill.stl", "--height-cm", "9", *words, "--size", "60x80").returncode == 0
    return path


def printed(folder: Path, *words: str) -> str:
    ran = run(folder, *words, "pill.stl", "--height-cm", "9")
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


@pytest.mark.parametrize("setup", SETUPS)
def test_proof_the_sheet_and_check_tell_a_placement_in_the_same_sentences(folder: Path, setup: str) -> None:
    frames: list[dict[str, Any]] = json.loads((folder / "sheet/sheet.json").read_text())["frames"]
    (frame,) = (frame for frame in frames if frame["setup"] == setup)
    lines = placement_lines(frame["placement"])
    assert {line.split(":")[0] for line in lines} > {"sweep", "model", "camera", "key"}
    assert [lamp["words"] for lamp in frame["lamps"]] == [lamp["words"] for lamp in frame["placement"]["lamps"]]
    assert printed(folder, "proof", setup, "--size", "60x80").splitlines()[1 : len(lines) + 1] == lines
    assert printed(folder, "check", "--setup", setup).splitlines()[1 : len(lines) + 1] == lines
    assert json.loads(printed(folder, "check", "--setup", setup, "--json"))["placement"] == frame["placement"]


def test_check_of_a_setup_says_what_is_unwise_about_it_and_of_no_other(folder: Path) -> None:
    (folder / "near.toml").write_text(
        '[subject]\nmesh = "pill.stl"\nheight_cm = 9\n[[lamps]]\nname = "desk lamp"\nsize_cm = [10, 10]\n'
        'lumens = 500\nspectrum = "led"\n'
    )
    facts = {
        setup: json.loads(run(folder, "check", "near.toml", "--setup", setup, "--json").stdout)
        for setup in ("loop", "three-point")
    }
    assert facts["loop"]["doubts"] == []
    assert any("needs 3 lamps, 1 owned" in doubt for doubt in facts["three-point"]["doubts"])
    assert run(folder, "check", "near.toml", "--setup", "loop").stdout.endswith("no warnings\n")


def test_check_refuses_a_setup_that_there_is_not(folder: Path) -> None:
    ran = run(folder, "check", "pill.stl", "--height-cm", "9", "--setup", "lop")
    assert ran.returncode == 2
    assert ran.stderr == "spruelight: no setup is called 'lop' (did you mean 'loop'?)\n"
