"""A photograph is read upright, in sRGB and with its settings, or refused in one sentence."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from PIL.ExifTags import IFD, Base

from gallery.writeup import photograph
from gallery.writeup.photo_settings import PhotoSettings
from gallery.writeup.photograph import read_photograph
from scenes.errors import InputError

TAKEN: dict[int, Any] = {
    Base.ExposureTime: 1 / 64, Base.FNumber: 2.8, Base.ISOSpeedRatings: 200, Base.WhiteBalance: 1, Base.LightSource: 3,
}  # fmt: skip
ASIDE = 6
"""The orientation of a picture whose top is on its right-hand side (Exif 3.0)."""


def picture() -> NDArray[np.uint8]:
    """Return a picture, 40 x 30, white above, red below."""
    rgb = np.full((30, 40, 3), 255, np.uint8)
    rgb[15:, :, 1:] = 0
    return rgb


def taken(path: Path, rgb: NDArray[np.uint8], tags: dict[int, Any], **options: Any) -> Path:
    exif = Image.Exif()
    exif[Base.Make] = "some"
    exif.get_ifd(IFD.Exif).update(tags)
    exif.get_ifd(IFD.GPSInfo).update({1: "N", 2: (1.0, 2.0, 3.0)})
    if turned := options.pop("orientation", None):
        exif[Base.Orientation] = turned
    Image.fromarray(rgb).save(path, exif=exif.tobytes(), **options)
    return path


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_photograph(path)
    return str(caught.value).removeprefix(f"--photo {path}: ")


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.webp", "a.tif"])
def test_it_has_its_pixels_and_its_settings(name: str, tmp_path: Path) -> None:
    read = read_photograph(taken(tmp_path / name, picture(), TAKEN))
    assert np.abs(read.rgb.astype(int) - picture())[[3, -3]].max() < 12
    settings = read.settings
    assert (settings.shutter_s, settings.f_number, settings.iso) == pytest.approx((1 / 64, 2.8, 200))
    assert (settings.white_balance, settings.light_source) == ("by hand", "tungsten")
    assert settings.exposure == pytest.approx(200 / 64 / 2.8**2)
    assert read.settings.missing == []


def test_it_is_turned_upright_as_its_exif_asks(tmp_path: Path) -> None:
    aside = np.ascontiguousarray(np.rot90(picture()))
    read = read_photograph(taken(tmp_path / "a.png", aside, {}, orientation=ASIDE))
    np.testing.assert_array_equal(read.rgb, picture())


def test_a_large_one_is_made_smaller(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photograph, "WORKING_SIDE", 20)
    assert read_photograph(taken(tmp_path / "a.jpg", picture(), {})).rgb.shape == (15, 20, 3)


@pytest.mark.parametrize(
    ("tags", "missing"),
    [
        ({}, ["shutter", "f-number", "ISO"]),
        ({**TAKEN, Base.ISOSpeedRatings: 0}, ["ISO"]),
        ({**TAKEN, Base.FNumber: (0, 0)}, ["f-number"]),
        ({**TAKEN, Base.ExposureTime: "soon"}, ["shutter"]),
    ],
)
def test_what_its_exif_does_not_say_is_missing(tags: dict[int, Any], missing: list[str], tmp_path: Path) -> None:
    settings = read_photograph(taken(tmp_path / "a.jpg", picture(), tags)).settings
    assert (settings.missing, settings.exposure) == (missing, None)


@pytest.mark.parametrize("exif", [b"", b"Exif\0\0", b"Exif\0\0II*\0\xff\xff\xff\xff", b"Exif\0\0MM\0*" + bytes(200)])
def test_damaged_exif_counts_as_none(exif: bytes, tmp_path: Path) -> None:
    Image.fromarray(picture()).save(tmp_path / "a.jpg", exif=exif)
    assert read_photograph(tmp_path / "a.jpg").settings == PhotoSettings()


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"\0\0\0\x18ftypheic" + bytes(100), "is HEIC or AVIF, which is not read here; export it as JPEG"),
        (b"", "is no JPEG, PNG, WebP or TIFF picture that can be read; export it as JPEG"),
        (b"\xff\xd8\xff\xe0" + bytes(100), "is no JPEG, PNG, WebP or TIFF picture that can be read; export it as JPEG"),
        (b"%PDF-1.7", "is no JPEG, PNG, WebP or TIFF picture that can be read; export it as JPEG"),
    ],
)
def test_what_is_no_picture_is_refused(content: bytes, told: str, tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(content)
    assert refusal(tmp_path / "a.jpg") == told


def test_one_that_ends_early_is_refused(tmp_path: Path) -> None:
    path = taken(tmp_path / "a.png", np.random.default_rng(1).integers(0, 255, (30, 40, 3), np.uint8), {})
    path.write_bytes(path.read_bytes()[:2000])
    assert refusal(path) == "is no JPEG, PNG, WebP or TIFF picture that can be read; export it as JPEG"


def test_one_of_too_many_pixels_is_refused_before_they_are_decoded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photograph, "MOST_PIXELS", 1000)
    path = taken(tmp_path / "a.jpg", picture(), {})
    assert refusal(path) == "of 40 x 30 pixels, has more than 0 megapixels; export it smaller"


def test_a_file_that_is_not_there_or_is_a_folder_or_is_too_large_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert refusal(tmp_path / "a.jpg") == "there is no such file; check the spelling"
    assert refusal(tmp_path) == "is no file; name a photograph"
    monkeypatch.setattr(photograph, "LARGEST_BYTES", 10)
    assert refusal(taken(tmp_path / "a.jpg", picture(), {})).startswith("is larger than 0 MB; export it as JPEG")
