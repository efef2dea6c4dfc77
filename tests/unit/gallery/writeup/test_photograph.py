"""A photograph is read upright, in sRGB and with its settings, or refused in one sentence."""

from __future__ import annotations

import struct
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


def linear_profile() -> bytes:
    """Return an ICC profile of sRGB's primaries, adapted to D50, and a straight transfer curve (ICC.1:2001, matrix)."""

    def fixed(*numbers: float) -> bytes:
        return struct.pack(f">{len(numbers)}i", *(round(65536 * number) for number in numbers))

    primaries = {
        b"rXYZ": (0.4361, 0.2225, 0.0139),
        b"gXYZ": (0.3851, 0.7169, 0.0971),
        b"bXYZ": (0.1431, 0.0606, 0.7141),
    }
    d50 = (0.9642, 1.0, 0.8249)
    tags = {key: b"XYZ \0\0\0\0" + fixed(*xyz) for key, xyz in {**primaries, b"wtpt": d50}.items()}
    tags |= {key: b"curv" + bytes(8) for key in (b"rTRC", b"gTRC", b"bTRC")}
    tags |= {
        b"desc": b"desc" + bytes(4) + struct.pack(">I", 2) + b"a" + bytes(79),
        b"cprt": b"text" + bytes(4) + b"a\0\0\0",
    }
    table, data, at = struct.pack(">I", len(tags)), b"", 128 + 4 + 12 * len(tags)
    for key, tag in tags.items():
        table += key + struct.pack(">2I", at + len(data), len(tag))
        data += tag + bytes(-len(tag) % 4)
    size = struct.pack(">I", at + len(data))
    kind = b"\0\0\0\0\x02\x10\0\0mntrRGB XYZ " + bytes(12) + b"acsp"
    return (size + kind + bytes(28) + fixed(*d50)).ljust(128, b"\0") + table + data


def test_its_colours_are_those_of_its_profile_as_srgb(tmp_path: Path) -> None:
    grey = np.full((4, 4, 3), 128, np.uint8)
    read = read_photograph(taken(tmp_path / "a.png", grey, {}, icc_profile=linear_profile()))
    assert np.abs(read.rgb.astype(int) - 188).max() <= 1  # 0.5 of the light is 188 in sRGB (IEC 61966-2-1)
    damaged = read_photograph(taken(tmp_path / "b.png", grey, {}, icc_profile=b"no profile"))
    np.testing.assert_array_equal(damaged.rgb, grey)


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
