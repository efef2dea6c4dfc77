"""Names of written files: the same everywhere, and taken everywhere."""

from __future__ import annotations

from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gallery.files.names import file_name

# Python 3.13 has the same as os.path.isreserved, which 3.11 lacks
pytestmark = pytest.mark.filterwarnings("ignore:.*is_reserved:DeprecationWarning")


def test_a_file_name_has_no_letter_that_a_file_system_refuses() -> None:
    assert file_name("loop", "backdrop.reflectance=white paper", "hull/*:?") == (
        "loop--backdrop.reflectance=white-paper--hull.png"
    )
    assert file_name("loop", "*") == "loop--all.png"
    assert file_name("stand-in:tank", ending=".toml") == "stand-in-tank.toml"
    assert file_name("..\\..\\up", 'a<b>"c|d\x00\n\x1b') == "..-..-up--a-b-c-d.png"


@pytest.mark.parametrize("device", ["con", "NUL", "Aux.x", "com1", "LPT9.toml", "com\N{SUPERSCRIPT TWO}"])
def test_no_file_bears_the_name_of_a_device_of_windows(device: str) -> None:
    assert PureWindowsPath(f"{device}.png").is_reserved()
    assert not PureWindowsPath(file_name(device)).is_reserved()


def test_long_names_are_cut_and_stay_apart(tmp_path: Path) -> None:
    names = {file_name("loop", f"title={letter * 300}{i}") for letter in "aß語" for i in range(2)}
    assert len(names) == 6
    for name in names:
        (tmp_path / f".{name}.12345678").touch()  # as it is called while it is written


@given(st.lists(st.text(), min_size=1, max_size=4))
def test_whatever_the_parts_are_the_name_is_one_that_windows_takes(parts: list[str]) -> None:
    name = file_name(*parts)
    assert not set(name) & set('<>:"/\\|?*')
    assert not any(ord(letter) < 32 for letter in name)
    assert name[-1] not in ". "
    assert not PureWindowsPath(name).is_reserved()
    assert len(name.encode()) <= 200
