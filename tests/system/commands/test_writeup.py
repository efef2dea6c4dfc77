"""A finished sheet as an article: every file that it names is there, and the person's photograph stands beside."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import unquote

import numpy as np
import pytest
import trimesh
from PIL import Image
from PIL.ExifTags import IFD, Base

from gallery.files.pictures import read_picture
from tests.support.command import run

MESH = ("pill.stl", "--height-cm", "9")
SIZE = ("--size", "48x64")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    trimesh.creation.capsule(height=6, radius=2).export(tmp_path / "pill.stl")
    finishes = ("--finish", "gloss", "--finish", "matt")
    assert run(tmp_path, "sheet", *MESH, "--setup", "loop", "--setup", "rim", *finishes, *SIZE).returncode == 0
    return tmp_path


def named_in(folder: Path) -> set[Path]:
    """Return the files that both documents of a write-up name; they name the same."""
    html = (folder / "article.html").read_text(encoding="utf-8")
    markdown = (folder / "article.md").read_text(encoding="utf-8")
    in_html = set(re.findall(r'(?:src|href)="([^"#]+)"', html))
    assert in_html == set(re.findall(r"\]\(([^)]*)\)", markdown))
    return {folder / unquote(path) for path in in_html}


@pytest.mark.slow
def test_a_write_up_has_every_file_that_it_names_and_traces_nothing(folder: Path) -> None:
    ran = run(folder, "writeup", "sheet")
    assert (ran.returncode, ran.stderr.startswith("traced nothing")) == (0, True), ran.stderr
    assert ran.stdout.split() == [str(Path("writeup") / name) for name in ("article.html", "article.md")]
    written = {path for path in (folder / "writeup").rglob("*") if path.is_file() and path.stem != "article"}
    assert named_in(folder / "writeup") == written
    assert {path.name for path in written} >= {"loop--gloss.jpg", "rim--matt.toml", "rim--topcoats.jpg", "loop.pdf"}
    printed = read_picture(folder / "writeup/print/rim--matt.png")
    np.testing.assert_array_equal(printed, read_picture(folder / "sheet/frames/rim--matt.png"))
    again = (folder / "writeup/again/loop--gloss.toml").read_bytes()
    (folder / "again.toml").write_bytes(again)
    assert run(folder, "proof", "as-placed", "again.toml", *SIZE).returncode == 0
    same = read_picture(folder / "as-placed--as-built.png")
    np.testing.assert_array_equal(same, read_picture(folder / "sheet/frames/loop--gloss.png"))


@pytest.mark.slow
def test_a_photograph_stands_beside_the_frame_of_the_setup_that_it_shows(folder: Path) -> None:
    exif = Image.Exif()
    exif.get_ifd(IFD.Exif).update({Base.ExposureTime: 1 / 64, Base.FNumber: 2.8, Base.ISOSpeedRatings: 200})
    exif.get_ifd(IFD.GPSInfo).update({1: "N", 2: (1.0, 2.0, 3.0)})
    Image.new("RGB", (900, 600), (90, 80, 70)).save(folder / "mine.jpg", exif=exif)
    both = run(folder, "writeup", "sheet", "--photo", "mine.jpg")
    assert (both.returncode, both.stderr) == (
        2, "spruelight: --photo mine.jpg: say with --setup and --finish which of these it shows: loop gloss, "
        "loop matt, rim gloss, rim matt\n",
    )  # fmt: skip
    one = ("--setup", "rim", "--finish", "matt")
    assert run(folder, "writeup", "sheet", "--photo", "mine.jpg", *one, "--out", "out").returncode == 0
    with Image.open(folder / "out/web/rim--photograph.jpg") as image:
        assert (image.size, dict(image.getexif())) == ((450, 600), {})
    article = (folder / "out/article.md").read_text(encoding="utf-8")
    assert "the photograph has 1/60 s, f/2.8, ISO 200." in article
    assert {path.name for path in (folder / "out/web").iterdir()} == {"rim--matt.jpg", "rim--photograph.jpg"}
    matt = read_picture(folder / "out/print/rim--matt.png")  # under the exposure that it shares with gloss
    np.testing.assert_array_equal(matt, read_picture(folder / "sheet/frames/rim--matt.png"))


@pytest.mark.slow
def test_a_setup_that_the_sheet_does_not_have_is_refused(folder: Path) -> None:
    ran = run(folder, "writeup", "sheet", "--setup", "rmi")
    assert (ran.returncode, ran.stderr) == (
        2, "spruelight: --setup rmi: is not in the sheet sheet (did you mean 'rim'?)\n",
    )  # fmt: skip
    assert not (folder / "writeup/article.html").exists()
