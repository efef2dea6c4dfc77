"""Measured reflectance is read as it was measured, however its columns are written; what is none says why."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.colour.measured import LARGEST_BYTES, read_reflectance
from materials.colour.notation import reflectance_from
from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum

NM = np.arange(400, 701, 10)
OCHRE = np.round(0.06 + 0.5 / (1 + np.exp((560 - NM) / 25)), 4)
PLAIN = "".join(f"{nm},{value}\n" for nm, value in zip(NM, OCHRE, strict=True))
PER_CENT = "".join(f"{nm},{100 * value:.2f}\n" for nm, value in zip(NM, OCHRE, strict=True))
SPELLINGS = {
    "plain": PLAIN,
    "headings": "instrument,X\nwavelength (nm),reflectance\n" + PLAIN,
    "headings with numbers": "serial number,12\n2026-11-26\nilluminant D65,10\nnm,reflectance\n" + PLAIN,
    "semicolons and decimal commas": PLAIN.replace(",", ";").replace(".", ","),
    "tabs": PLAIN.replace(",", "\t"),
    "blanks": PLAIN.replace(",", "   "),
    "quoted cells": PLAIN.replace(",", '","').replace("\n", '"\n"').removesuffix('"').join(('"', "")),
    "comments, empty lines and a mark of the encoding": "\ufeff# ochre, 100 % pigment\n\n" + PLAIN,
    "line ends of Windows": PLAIN.replace("\n", "\r\n"),
    "falling wavelengths": "".join(reversed(PLAIN.splitlines(keepends=True))),
    "wavelengths in no order": "".join(sorted(PLAIN.splitlines(keepends=True), key=lambda line: line[::-1])),
    "per cent": PER_CENT,
    "per cent and its heading": "nm,R %\n" + PER_CENT,
    "separators at the end of lines": PLAIN.replace("\n", ",\n"),
}


def read(folder: Path, content: str | bytes) -> Spectrum:
    path = folder / "ochre.csv"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_reflectance(path)


def refusal(folder: Path, content: str | bytes) -> str:
    with pytest.raises(ValueError, match=r"^ochre\.csv: ") as caught:
        read(folder, content)
    return str(caught.value).removeprefix("ochre.csv: ")


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_a_reflectance_is_the_same_however_it_is_written(tmp_path: Path, spelling: str) -> None:
    got = read(tmp_path, SPELLINGS[spelling])
    np.testing.assert_allclose(got, np.interp(WAVELENGTHS_NM, NM, OCHRE), atol=1e-12)
    assert not got.flags.writeable


def test_beyond_its_ends_a_reflectance_goes_on_flat(tmp_path: Path) -> None:
    got = read(tmp_path, PLAIN)
    assert np.ptp(got[WAVELENGTHS_NM <= 400]) == 0
    assert np.ptp(got[WAVELENGTHS_NM >= 700]) == 0


def test_a_black_in_per_cent_is_known_by_its_heading(tmp_path: Path) -> None:
    rows = "".join(f"{nm},0.9\n" for nm in NM)
    np.testing.assert_allclose(read(tmp_path, "nm,reflectance (%)\n" + rows), 0.009)
    np.testing.assert_allclose(read(tmp_path, "nm,reflectance\n" + rows), 0.9)


REFUSALS: dict[str, tuple[str | bytes, str]] = {
    "nothing": ("", "it holds no samples, should hold a wavelength in nm and a value for each"),
    "words": ("a good ochre\n", "it holds no samples, should hold a wavelength in nm and a value for each"),
    "three columns": (
        PLAIN.replace("450,", "450,0.3,"),
        "line 6 has 3 columns, should have two, a wavelength in nm and a value; decimals should be written with a "
        "point",
    ),
    "a word among numbers": (
        PLAIN.replace("400,0.0608", "400,0.0608\n405,over"),
        "line 2: the value is 'over', should be a number below 1e+30",
    ),
    "less than nothing": (
        PLAIN.replace("400,0.", "400,-0."),
        "the value at 400 nm is -0.0608, should lie between 0 and 1",
    ),
    "more than all": (PLAIN + "710,1.2\n", "the value at 710 nm is 1.2, should lie between 0 and 1"),
    "more than 100 per cent": (
        PER_CENT + "710,104\n",
        "the value at 710 nm is 104, should lie between 0 and 100 per cent",
    ),
    "too short": (
        PLAIN.replace("400,", "402,"),
        "wavelengths run from 402 to 700 nm, should reach at least from 400 to 700 nm",
    ),
    "sparse": (
        "400,0.1\n460,0.2\n500,0.1\n550,1\n600,1\n650,1\n700,1\n",
        "nothing is measured between 400 and 460 nm, where samples should be at most 50 nm apart",
    ),
    "twice": (
        PLAIN + "550,0.2\n",
        "line 32: the wavelength 550 comes after 550, where they should rise from first to last, or fall, each once",
    ),
    "a word for the first wavelength": (
        "39O,0.06\n" + PLAIN,
        "line 1: the wavelength is '39O', should be a number below 1e+30",
    ),
    "micrometres": (
        "".join(f"{nm / 1000:g},{value}\n" for nm, value in zip(NM, OCHRE, strict=True)),
        "wavelengths from 0.4 to 0.7 look like micrometres, should be written in nm",
    ),
    "another kind of file": (
        PLAIN.encode("utf-16"),
        "it is no plain text; save it as CSV (UTF-8) with a wavelength in nm and a value on each line",
    ),
    "too large": (PLAIN + "#" * LARGEST_BYTES, "it is larger than a reflectance takes, 5 MB"),
}


@pytest.mark.parametrize("case", REFUSALS)
def test_what_is_no_reflectance_says_why(tmp_path: Path, case: str) -> None:
    content, reason = REFUSALS[case]
    assert refusal(tmp_path, content) == reason


def test_what_is_no_file_says_so(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "folder.csv").mkdir()
    for name in ("pipe.csv", "folder.csv", "gone.csv", "a\0b.csv"):
        with pytest.raises(ValueError, match="there is no such file"):
            read_reflectance(tmp_path / name)


def test_a_file_that_changes_is_read_anew(tmp_path: Path) -> None:
    before = read(tmp_path, PLAIN)
    (tmp_path / "ochre.csv").write_text(PLAIN.replace("0.0608", "0.5"))
    assert reflectance_from(str(tmp_path / "ochre.csv"))[0] == 0.5
    assert before[0] == 0.0608


@settings(deadline=None)
@given(st.binary() | st.text(" \t,;.0123456789e-+#%\n").map(str.encode))
def test_any_bytes_give_a_reflectance_or_a_reason(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    try:
        got = read(tmp_path_factory.getbasetemp(), content)
    except ValueError:
        assert refusal(tmp_path_factory.getbasetemp(), content)
        return
    assert got.min() >= 0
    assert got.max() <= 1
