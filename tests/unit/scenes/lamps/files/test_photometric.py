"""Photometric files on disk: by their ending, and what is none."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scenes.errors import InputError
from scenes.lamps.files.photometric import read_photometry

from .test_eulumdat import ldt
from .test_eulumdat import text as ldt_text
from .test_ies import ies


def file(folder: Path, name: str, content: bytes) -> Path:
    (folder / name).write_bytes(content)
    return folder / name


def refusal(path: Path) -> str:
    """Return the sentence with which the file is refused, its path before."""
    with pytest.raises(InputError) as caught:
        read_photometry(path)
    assert str(caught.value).startswith(f"{path}: ")
    return str(caught.value)


@pytest.mark.parametrize(
    ("name", "content", "peak"),
    [
        ("lamp.ies", ies(), 100),
        ("LAMP.IES", "\ufeff" + ies().replace("\n", "\r\n") + "\x1a", 100),
        ("lamp.ldt", ldt_text(ldt()), 200),
        ("Lamp.Ldt", ldt_text(ldt()) + "\r\n\x1a", 200),
    ],
)
def test_a_file_is_read_by_its_ending(tmp_path: Path, name: str, content: str, peak: float) -> None:
    assert read_photometry(file(tmp_path, name, content.encode())).distribution.at(0) == peak


def test_words_in_an_older_encoding_do_no_harm(tmp_path: Path) -> None:
    content = ies(first="IESNA:LM-63-1995\n[OTHER] Größe\n").encode("latin-1")
    assert read_photometry(file(tmp_path, "lamp.ies", content)).distribution.at(0) == 100


@pytest.mark.parametrize("name", ["lamp.xml", "lamp"])
def test_another_ending_lists_what_can_be_read(tmp_path: Path, name: str) -> None:
    assert "should be an .ies of IES LM-63 or an .ldt of EULUMDAT" in refusal(file(tmp_path, name, b""))


@pytest.mark.parametrize("name", ["lamp.ies", "lamp.ldt"])
@pytest.mark.parametrize(
    ("content", "part"),
    [
        (b"", "it is empty; save it again"),
        (b" \r\n\t", "it is empty; save it again"),
        (bytes(range(256)) * 4, "it is no plain text, as a photometric file is"),
        (ies().encode("utf-16"), "it is no plain text, as a photometric file is"),
        (b"1 " * 2_600_000, "it is larger than 5 MB, where a photometric file takes a few kB"),
    ],
    ids=["empty", "blank", "bytes", "utf-16", "large"],
)
def test_what_holds_no_photometry_is_refused(tmp_path: Path, name: str, content: bytes, part: str) -> None:
    assert part in refusal(file(tmp_path, name, content))


def test_a_missing_file(tmp_path: Path) -> None:
    assert "there is no such file; check the spelling" in refusal(tmp_path / "no.ies")


def test_a_folder(tmp_path: Path) -> None:
    (tmp_path / "folder.ies").mkdir()
    assert "this is a folder; name the photometric file in it" in refusal(tmp_path / "folder.ies")


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.ies")
    assert "this is no file of its own" in refusal(tmp_path / "pipe.ies")


@given(content=st.binary(), name=st.sampled_from(["lamp.ies", "lamp.ldt"]), has_tilt=st.booleans())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_bytes_are_refused(tmp_path: Path, content: bytes, name: str, has_tilt: bool) -> None:
    assert refusal(file(tmp_path, name, b"TILT=NONE\n" * has_tilt + content))
