"""The name of an exported file says what it holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from gallery.export.kind import Kind, kind_of
from scenes.errors import InputError


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("lamp.exr", Kind.spectral), ("LAMP.EXR", Kind.spectral), ("a.b/xyz.exr", Kind.spectral),
        ("frame.xyz.exr", Kind.xyz), ("frame.XYZ.exr", Kind.xyz), ("frame.tif", Kind.tiff), ("frame.TIFF", Kind.tiff),
    ],
)  # fmt: skip
def test_the_ending_says_the_kind(name: str, kind: Kind) -> None:
    assert kind_of(Path(name)) is kind


@pytest.mark.parametrize("name", ["lamp", "lamp.png", "lamp.exr.png", "exr", ".tiff/lamp"])
def test_any_other_name_is_wrong_input_that_lists_the_endings(name: str) -> None:
    with pytest.raises(InputError, match=r"--out .*: end the name in \.exr .*, \.xyz\.exr .*, or \.tiff"):
        kind_of(Path(name))


@pytest.mark.parametrize("name", ["lamp.xyz.exr", "lamp.tiff", "lamp"])
def test_one_lamps_picture_is_spectral(name: str) -> None:
    assert kind_of(Path("lamp.exr"), spectral=True) is Kind.spectral
    with pytest.raises(InputError, match=r"one lamp's picture is spectral OpenEXR; end the name in \.exr"):
        kind_of(Path(name), spectral=True)
