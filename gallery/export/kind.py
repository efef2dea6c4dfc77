"""What is exported, by the name of its file."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from scenes.errors import InputError


class Kind(StrEnum):
    """A kind of picture for other programs."""

    spectral = "spectral"
    xyz = "xyz"
    tiff = "tiff"


ENDINGS = {".xyz.exr": Kind.xyz, ".exr": Kind.spectral, ".tif": Kind.tiff, ".tiff": Kind.tiff}
"""The longer one first: the first that fits says the kind."""


def kind_of(path: Path, spectral: bool = False) -> Kind:
    """Return what a file of this name holds.

    Raises
    ------
    InputError
        For a name that none ends in, or of another kind where only `spectral` will do, as for one lamp.
    """
    kind = next((kind for ending, kind in ENDINGS.items() if path.name.lower().endswith(ending)), None)
    if spectral and kind is not Kind.spectral:
        raise InputError(f"--out {path}: one lamp's picture is spectral OpenEXR; end the name in .exr")
    if kind is not None:
        return kind
    raise InputError(
        f"--out {path}: end the name in .exr for spectral OpenEXR, .xyz.exr for XYZ in OpenEXR, or .tiff for a picture "
        "of 16 bits"
    )
