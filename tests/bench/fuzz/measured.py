"""Whole files of measured light and colours, to be damaged: photometry, spectra and reflectances."""

from __future__ import annotations

from typing import Final

from .case import Case
from .files import whole_files

LAMP: Final = '[[lamps]]\nname = "a"\n{keys}\nat_cm = [0, -40, 40]\naim_cm = [0, 0, 0]\n'
PAINTED: Final = '[subject]\nmesh = "box.stl"\nheight_cm = 10\n[[subject.parts]]\nbase = "bad.csv"\n'


def whole_photometry() -> tuple[Case, ...]:
    """Return photometric files, each of a lamp that stands where it is put."""
    return tuple(_of_lamp(name, "photometry = {}") for name in ("lamp.ies", "downlight.ies", "lamp.ldt", "lamp.ldt"))


def whole_spectra() -> tuple[Case, ...]:
    """Return files of a spectrum, each of a lamp that stands where it is put."""
    names = ("lamp.csv", "lamp.txt", "lamp.spdx", "lamp.spdx")
    return tuple(_of_lamp(name, "size_cm = [10, 10]\nspectrum = {}") for name in names)


def whole_reflectances() -> tuple[Case, ...]:
    """Return files of a reflectance, each of a part's paint."""
    files = (whole_files()[name] for name in ("paint.csv", "paint.csv", "paints.csv"))
    return tuple(
        Case({"bad.csv": file, "a.toml": PAINTED.encode()}, ("proof", "three-point", "a.toml")) for file in files
    )


def _of_lamp(name: str, keys: str) -> Case:
    bad = f"bad.{name.partition('.')[2]}"
    declared = LAMP.format(keys=keys.format(f'"{bad}"'))
    return Case({bad: whole_files()[name], "a.toml": declared.encode()}, ("proof", "as-placed", "a.toml"))
