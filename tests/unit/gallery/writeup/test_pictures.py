"""Pictures for web and print say what they are."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PIL.ExifTags import IFD, Base

from gallery.files.scaling import at_most
from gallery.writeup.pictures import WEB_PX, write_print_picture, write_web_picture
from materials.colour.srgb import srgb_decode
from render.camera.exposure import Exposure
from render.frame import Frame
from tests.support.sheets.frames import unlit_frame


def frame(width: int = 60, height: int = 80) -> Frame:
    rgb = np.random.default_rng(3).integers(0, 255, (height, width, 3), np.uint8)
    return replace(unlit_frame(exposure=Exposure(1 / 64, 50, 1.73)), rgb=rgb)


def test_a_web_picture_has_the_settings_and_says_that_it_is_a_rendering(tmp_path: Path) -> None:
    write_web_picture(tmp_path / "a.jpg", frame(), "loop: soft é")
    with Image.open(tmp_path / "a.jpg") as image:
        exif = image.getexif()
        tags = exif.get_ifd(IFD.Exif)
        assert (image.format, image.size) == ("JPEG", (60, 80))
    assert exif[Base.ImageDescription] == "rendering, not a photograph: loop: soft ?"
    assert exif[Base.Software].startswith("spruelight ")
    assert not exif.get_ifd(IFD.GPSInfo)
    assert float(tags[Base.ExposureTime]) == pytest.approx(1 / 64)
    assert float(tags[Base.FNumber]) == pytest.approx(1.73)
    assert tags[Base.ISOSpeedRatings] == 50
    assert (tags[Base.CustomRendered], tags[Base.ColorSpace]) == (1, 1)
    assert (tags[Base.WhiteBalance], tags[Base.LightSource]) == (0, 255)
    # by the APEX system: Av + Tv - Sv, where Sv = log2(ISO / 3.125) (Exif 3.0, annex)
    assert float(tags[Base.BrightnessValue]) == pytest.approx(np.log2(1.73**2 * 64 / (50 / 3.125)), abs=1e-4)


def test_a_white_balance_by_hand_is_said() -> None:
    from gallery.writeup.exif import rendering_exif

    taken = frame()
    camera = taken.shot.camera.model_copy(update={"white_balance": 4000.0})
    exif = Image.Exif()
    exif.load(rendering_exif(replace(taken, shot=replace(taken.shot, camera=camera)), ""))
    assert exif.get_ifd(IFD.Exif)[Base.WhiteBalance] == 1


def test_a_print_picture_has_its_own_pixels_at_300_to_the_inch(tmp_path: Path) -> None:
    write_print_picture(tmp_path / "a.png", frame(), "loop: soft é")
    with Image.open(tmp_path / "a.png") as image:
        np.testing.assert_array_equal(np.asarray(image), frame().rgb)
        assert image.info["dpi"] == pytest.approx((300, 300), abs=0.01)
        assert image.info["srgb"] == 0
        assert image.info["Description"] == "rendering, not a photograph: loop: soft é"


def test_a_picture_is_made_smaller_in_linear_light_and_never_larger() -> None:
    rgb = np.zeros((8, 2 * WEB_PX, 3), np.uint8)
    rgb[:, ::2] = 255
    small = at_most(rgb, WEB_PX)
    assert small.shape == (4, WEB_PX, 3)
    assert np.median(srgb_decode(small / 255)) == pytest.approx(0.5, abs=0.01)
    assert at_most(small, WEB_PX) is small
