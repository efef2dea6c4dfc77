"""A sheet is found in its folder in short, whole or not at all."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gallery.collection.summary import SMALL_PX, FrameSummary, SheetSummary, summary_of, write_small_pictures
from gallery.files.pictures import picture_size, read_picture, write_picture
from tests.support.sheets.made import write_made_sheet


def test_a_sheet_is_read_as_it_was_written(tmp_path: Path) -> None:
    write_made_sheet(tmp_path, "Orc", setups=("loop", "rim"), finishes=("gloss", "matt"), rounds=4)
    sheet = summary_of(tmp_path)
    assert sheet is not None
    assert (sheet.title, sheet.size, sheet.rounds, sheet.finishes) == ("Orc", (3, 4), 4, ("gloss", "matt"))
    assert [frame.stem for frame in sheet.first_finish] == ["loop--gloss", "rim--gloss"]
    assert {path.stem for path in (tmp_path / "frames").iterdir()} == {frame.stem for frame in sheet.frames}


@pytest.mark.parametrize("text", ["", "{", "[]", '{"format": 1}', '{"format": 1, "frames": []}'])
def test_what_is_no_whole_sheet_is_none(tmp_path: Path, text: str) -> None:
    assert summary_of(tmp_path) is None
    write_made_sheet(tmp_path)
    whole = json.loads((tmp_path / "sheet.json").read_text(encoding="utf-8"))
    (tmp_path / "sheet.json").write_text(text)
    assert summary_of(tmp_path) is None
    (tmp_path / "sheet.json").write_text(json.dumps(whole | {"frames": [{"setup": "loop"}]}))
    assert summary_of(tmp_path) is None


def test_a_sheet_without_its_pictures_is_none(tmp_path: Path) -> None:
    write_made_sheet(tmp_path)
    (tmp_path / "frames/loop--as-built.png").unlink()
    assert summary_of(tmp_path) is None


def test_small_pictures_have_the_frames_shape_and_light(tmp_path: Path) -> None:
    write_made_sheet(tmp_path)
    rgb = np.zeros((640, 480, 3), np.uint8)
    rgb[:, :240] = (188, 188, 188)  # half of the light of white
    write_picture(tmp_path / "frames/loop--as-built.png", rgb)
    write_small_pictures(tmp_path)
    small = tmp_path / "small/loop--as-built.jpg"
    assert picture_size(small) == (SMALL_PX, 320)
    assert read_picture(small)[:, 60].mean() == pytest.approx(188, abs=2)


def test_grain_is_said_where_it_was_measured() -> None:
    frame = FrameSummary("loop", "gloss", "loop--gloss", None)
    sheet = SheetSummary("x", (3, 4), (frame, frame), (), None, {})
    assert sheet.grain_words == ""
    assert replace(sheet, frames=(frame, replace(frame, grain_percent=0.97))).grain_words == "grain 0.97 %"
    several = tuple(replace(frame, grain_percent=percent) for percent in (2.0, 0.44, 1.0))
    assert replace(sheet, frames=several).grain_words == "grain 0.44 to 2 %"
