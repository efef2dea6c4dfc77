"""Pictures come back from disk as they were written."""

from __future__ import annotations

import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from gallery.files.pictures import Picture, read_picture, write_picture

SHAPES = {"grey": (5, 7), "colour": (5, 7, 3)}


def picture(shape: str, bits: int) -> Picture:
    """Return a picture of noise, black and white in it."""
    values = np.random.default_rng(bits).integers(0, 2**bits, SHAPES[shape])
    values.ravel()[:2] = 0, 2**bits - 1
    return values.astype(np.uint8) if bits == 8 else values.astype(np.uint16)


@pytest.mark.parametrize(
    ("name", "shape", "bits"),
    [
        ("a.png", "grey", 8), ("a.png", "colour", 8), ("a.PNG", "colour", 8), ("a.png", "grey", 16),
        ("a.tif", "grey", 8), ("a.tif", "colour", 8), ("a.tiff", "grey", 16), ("a.tif", "colour", 16),
    ],
)  # fmt: skip
def test_a_picture_comes_back_to_the_bit(name: str, shape: str, bits: int, tmp_path: Path) -> None:
    written = picture(shape, bits)
    write_picture(tmp_path / "frames" / name, written)
    read = read_picture(tmp_path / "frames" / name)
    assert read.dtype == written.dtype
    np.testing.assert_array_equal(read, written)
    assert [path.name for path in (tmp_path / "frames").iterdir()] == [name]


def test_a_jpeg_comes_back_alike(tmp_path: Path) -> None:
    written = np.full((32, 64, 3), (200, 120, 40), np.uint8)
    written[:, 32:] = (20, 60, 90)
    write_picture(tmp_path / "a.jpg", written)
    read = read_picture(tmp_path / "a.jpg")
    assert read.shape == written.shape
    away_from_the_edge = [0, 15, 48, 63]
    assert np.abs(read.astype(int) - written)[:, away_from_the_edge].max() <= 2


@pytest.mark.parametrize(("name", "shape"), [("a.png", "colour"), ("a.jpg", "grey"), ("a.jpg", "colour")])
def test_16_bits_are_refused_where_a_file_would_lose_some(name: str, shape: str, tmp_path: Path) -> None:
    with pytest.raises((TypeError, OSError)):
        write_picture(tmp_path / name, picture(shape, 16))
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["a.png", "a.tif"])
def test_equal_pictures_give_equal_files(name: str, tmp_path: Path) -> None:
    contents = []
    for _ in range(2):
        write_picture(tmp_path / name, picture("colour", 8))
        contents.append((tmp_path / name).read_bytes())
    assert contents[0] == contents[1]


@pytest.mark.parametrize(
    ("name", "settings"), [("a.png", {"compress_type": zlib.Z_RLE}), ("a.jpg", {"quality": 78, "optimize": True})]
)
def test_pillow_encodes_what_imageio_writes(name: str, settings: dict[str, Any], tmp_path: Path) -> None:
    written = picture("colour", 8)
    write_picture(tmp_path / name, written)
    Image.fromarray(written).save(tmp_path / f"by-pillow-{name}", **settings)
    assert (tmp_path / name).read_bytes() == (tmp_path / f"by-pillow-{name}").read_bytes()
