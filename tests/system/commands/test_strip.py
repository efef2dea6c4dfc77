"""The test strip: what needs no render renders nothing, what is held is the same, and a topcoat does what it should."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from gallery.inputs import open_input
from gallery.strip.field import read_field
from gallery.strip.strip import own_lines, take_strip
from gallery.strip.variation import StripRequest, strip_of
from render.frame import Frame
from render.images.store.store import Store
from render.images.tracing import Tracing

SIZE = (60, 80)
LARGER = (120, 160)  # where the mirror image of a small lamp is some pixels large
ARRANGEMENT = """
[subject]
mesh = "pill.stl"
height_cm = 9
[[subject.parts]]
base = "#d8d2c4"
[camera]
kind = "camera"
[room]
lux = 20
[[lamps]]
name = "desk"
size_cm = [14, 10]
[[lamps]]
name = "low"
size_cm = [10, 8]
lumens = 2000
[[lamps]]
name = "clip"
kind = "disc"
diameter_cm = 6
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("strips")
    trimesh.creation.capsule(height=6, radius=2).export(path / "pill.stl")
    (path / "pill.toml").write_text(ARRANGEMENT)
    head, *_, clip = ARRANGEMENT.split("[[lamps]]")
    (path / "clip.toml").write_text(f"{head}[[lamps]]{clip}")
    return path


@pytest.fixture
def tracing(folder: Path) -> Tracing:
    """Return what traces into one store for all tests here, with a tally of its own."""
    return Tracing(Store(folder / "store"))


def taken(said: str, folder: Path, tracing: Tracing) -> list[Frame]:
    asked = StripRequest(open_input(folder / "pill.toml", {}), "three-point", SIZE)
    return take_strip(strip_of(asked, read_field(said)), tracing, "draft")


def mean(frame: Frame) -> float:
    """Return the mean of what is shown of the subject's box, 0 to 255."""
    middle: NDArray[np.uint8] = frame.rgb[20:60, 20:40]
    return float(middle.mean())


FREE = {
    "lamps.key.dimmer=1,0.5,0.1": "falls", "lamps.key.kelvin=2700,4000,6500": "varies",
    "lamps.fill.stops_under_key=1,2,4": "falls", "camera.f_number=4,8,16": "falls", "camera.iso=50,100,200": "rises",
    "camera.shutter_s=0.01,0.1": "rises", "camera.white_balance=2700,4000,6500": "varies",
    "room.lux=10,4000": "rises", "lamps.desk.lumens=300,900": "rises",
}  # fmt: skip


@pytest.mark.slow
def test_what_is_light_or_camera_alone_is_varied_without_a_render(folder: Path, tracing: Tracing) -> None:
    taken("lamps.key.dimmer=1,0.5", folder, tracing)
    assert len(tracing.statistics.traced) == 4  # three lamps and the room, once each
    assert len(tracing.statistics.geometries) == 1
    for said, goes in FREE.items():
        tracing.statistics.traced.clear()
        frames = taken(said, folder, tracing)
        assert not tracing.statistics.traced, said
        levels = [mean(frame) for frame in frames]
        if goes == "varies":
            assert all((a.rgb != b.rgb).any() for a, b in pairwise(frames)), said
        else:
            assert levels == sorted(levels, reverse=goes == "falls"), said
            assert max(levels) > 1.1 * min(levels), said


def test_exposure_white_balance_and_the_solved_fill_are_held_over_a_dimmer(folder: Path, tracing: Tracing) -> None:
    frames = taken("lamps.key.dimmer=1,0.25", folder, tracing)
    assert frames[0].exposure == frames[1].exposure
    assert frames[0].white_balance_kelvin == frames[1].white_balance_kelvin
    assert frames[0].setup.lamps[1].dimmer == frames[1].setup.lamps[1].dimmer < 1
    one, other = (frame.readings.key_to_fill_stops or 0 for frame in frames)
    assert one - other > 0.8


@pytest.mark.slow
def test_each_frame_says_what_differs_from_the_others_and_nothing_else(folder: Path, tracing: Tracing) -> None:
    dimmed = own_lines(taken("lamps.fill.dimmer=0,0.5", folder, tracing))
    assert [lines[0] for lines in dimmed] == ["fill off", "fill 4000 K 50 %"]
    assert [re.sub(r"[\d.]+", "N", line) for lines in dimmed for line in lines[1:]] == 2 * ["key to fill N stops"]
    (low, *_), (high, *_) = own_lines(taken("lamps.key.rise_deg=35,65", folder, tracing))
    assert low.startswith("key: ")
    assert low.endswith("tilted down 35 degrees")
    assert high.endswith("tilted down 65 degrees")
    assert own_lines(taken("finish=matt,gloss", folder, tracing)) == [[], []]


def test_a_setup_without_a_key_has_no_ratio_to_it(folder: Path, tracing: Tracing) -> None:
    asked = StripRequest(open_input(folder / "pill.toml", {}), "rim-fill", SIZE)
    frames = take_strip(strip_of(asked, read_field("lamps.fill.dimmer=1,0")), tracing, "draft")
    assert [lines[0] for lines in own_lines(frames)] == ["fill 4000 K 100 %", "fill off"]
    assert not any("key to fill" in line or line == "no fill" for lines in own_lines(frames) for line in lines)


def test_moving_a_lamp_traces_that_lamp_alone(folder: Path, tracing: Tracing) -> None:
    taken("lamps.key.dimmer=1,0.5", folder, tracing)
    tracing.statistics.traced.clear()
    taken("lamps.key.rise_deg=30,60", folder, tracing)
    assert len(tracing.statistics.traced) == 2


@pytest.mark.slow
def test_from_matt_to_gloss_shine_rises_and_a_pale_colour_hardly_changes(folder: Path, tracing: Tracing) -> None:
    asked = StripRequest(open_input(folder / "clip.toml", {}), "loop", LARGER)
    frames = take_strip(strip_of(asked, read_field("finish=matt,satin,semi-gloss,gloss")), tracing, "draft")
    assert len({frame.exposure for frame in frames}) == 1
    matt, satin, semi_gloss, gloss = (frame.readings.shine_lightness or 0 for frame in frames)
    assert 1.5 * matt < satin < semi_gloss < gloss
    levels = [mean(frame) for frame in frames]
    assert max(levels) < 1.06 * min(levels)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "base"), [("tank", "#34402a"), ("bust", "#e0c4b0")])
def test_of_a_dark_tank_and_a_pale_bust_shine_rises_from_matt_to_gloss(
    name: str, base: str, tmp_path: Path, tracing: Tracing
) -> None:
    model = f'[subject]\nmesh = "stand-in:{name}"\n[[subject.parts]]\nbase = "{base}"\n'
    (tmp_path / "model.toml").write_text(model)
    asked = StripRequest(open_input(tmp_path / "model.toml", {}), "loop", LARGER)
    frames = take_strip(strip_of(asked, read_field("finish=matt,satin,gloss")), tracing, "draft")
    matt, satin, gloss = (frame.readings.shine_lightness or 0 for frame in frames)
    assert 1.3 * matt < satin
    assert 1.1 * satin < gloss
