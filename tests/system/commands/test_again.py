"""The arrangement that a frame is written as gives the same picture, from what is stored."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from gallery.again.document import again_pieces
from gallery.again.pieces import text_of
from gallery.captions.facts import frame_facts
from gallery.files.pictures import read_picture
from gallery.sheet.contact_sheet import frame_name
from gallery.sheet.finished import open_finished
from render.images.store.store import Store
from render.images.tracing import Tracing
from scenes.setups.setup import setup_names
from tests.support.command import run

OWN = """
title = "Tank in the evening"
[subject]
mesh = "stand-in:tank"
length_cm = 14
[camera]
kind = "aps-c"
f_number = 8
stops = 0.5
[room]
lux = 20
[[lamps]]
name = "upright panel"
size_cm = [8, 20]
kelvin_range = [3200, 5600]
[[lamps]]
name = "bulb"
kind = "bulb"
diameter_cm = 6
kelvin = 2700
spectrum = "led"
lumens = 800
[[cards]]
name = "wings"
size_cm = [20, 30]
at_cm = [-45, 5, 15]
facing = [1, 0, 0]
trifold = {wing_cm = 12}
[[cards]]
name = "foam board"
size_cm = "A1"
reflectance = "black foam board"
"""
SIZE = ("--size", "48x64")


def assert_same_again(folder: Path, setup: str, *options: str) -> None:
    """Make a sheet, write its last frame as an arrangement and compare the picture that a proof takes of that."""
    file = ["own.toml"] if (folder / "own.toml").exists() else []
    assert run(folder, "sheet", *file, "--setup", setup, *SIZE, *options, "--out", "out").returncode == 0
    sheet = open_finished(folder / "out")
    frame = sheet.take_frames(Tracing(Store()))[-1]
    np.testing.assert_array_equal(read_picture(folder / "out/frames" / frame_name(frame)), frame.rgb)
    (folder / "again.toml").write_text(text_of(again_pieces(sheet.arrangement, frame)), encoding="utf-8")
    as_proof = options[options.index("--detail") :] if "--detail" in options else ()
    assert (
        run(folder, "sheet", "again.toml", "--setup", "as-placed", *SIZE, *as_proof, "--out", "again").returncode == 0
    )
    again = open_finished(folder / "again")
    tracing = Tracing(Store())
    (same,) = again.take_frames(tracing)
    np.testing.assert_array_equal(same.rgb, frame.rgb)
    assert not tracing.statistics.traced
    assert frame_facts(same)["readings"] == frame_facts(frame)["readings"]


@pytest.mark.slow
@pytest.mark.parametrize("setup", setup_names())
def test_every_setup_of_the_demo_is_the_same_picture_again(setup: str, tmp_path: Path) -> None:
    assert_same_again(tmp_path, setup)


@pytest.mark.slow
@pytest.mark.parametrize("setup", ["three-point", "high-key", "split", "overhead"])
def test_lamps_of_several_whites_in_a_lit_room_give_the_same_picture_again(setup: str, tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(OWN, encoding="utf-8")
    assert_same_again(tmp_path, setup, "--finish", "gloss", "--finish", "matt", "--detail", "turret*")
