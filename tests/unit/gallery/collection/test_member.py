"""Folders of sheets have names that stay, differ and can be written anywhere."""

from __future__ import annotations

import os

import pytest

from gallery.collection.member import sheet_names


@pytest.mark.parametrize(
    ("file", "sheet"),
    [
        ("diver.toml", "diver"),
        ("ships/yawl/yawl.toml", "ships--yawl"),
        ("ships/yawl/rigged.toml", "ships--yawl--rigged"),
        ("yawl/old/yawl.toml", "yawl--old--yawl"),
        ("orc.STL", "orc-stl"),
        ("Ø 1:35 №2.toml", "Ø-1-35-2"),
        ("con.toml", "_con"),
        ("a..toml", "a"),
    ],
)
def test_a_sheet_is_called_as_its_file(file: str, sheet: str) -> None:
    assert sheet_names([file]) == [sheet]


def test_no_two_names_are_the_same_where_case_counts_for_nothing() -> None:
    files = ["diver.toml", "Diver.toml", "diver/diver.toml", "a b.toml", "a-b.toml", "index.html.toml", "other.toml"]
    sheets = sheet_names(files)
    assert len({sheet.casefold() for sheet in (*sheets, "index.html", "index.json")}) == len(files) + 2
    assert sheets[-1] == "other"
    assert sheet_names(files[::-1]) == sheets[::-1]


def test_a_name_that_is_no_unicode_has_a_folder_too() -> None:
    broken = os.fsdecode(b"\xff.toml")
    first, second = sheet_names([broken, os.fsdecode(b"\xfe.toml")])
    assert first != second
    assert first.isascii()
