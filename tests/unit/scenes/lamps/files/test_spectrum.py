"""A measured spectrum is read as it was measured, however its columns are written; what is none says why."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.interpolate import make_interp_spline

from materials.light.observer import WAVELENGTHS_NM
from materials.light.spectra import Spectrum, blackbody, photometric_value
from scenes.errors import InputError
from scenes.lamps.files.spectrum import read_spectrum

NM = np.arange(380.0, 781.0, 5)
LAMP = np.exp(-(((NM - 450) / 12.0) ** 2)) + 0.6 * np.exp(-(((NM - 580) / 60.0) ** 2))
PLAIN = "".join(f"{nm:g},{value:.6f}\n" for nm, value in zip(NM, LAMP, strict=True))
SPELLINGS = {
    "headings": "wavelength (nm),power (W/nm)\n" + PLAIN,
    "headings with numbers": "serial number,12\n2026-11-26\nnm,W\n" + PLAIN,
    "headings in an older encoding": "Wellenlänge,µW\n" + PLAIN,
    "semicolons and decimal commas": PLAIN.replace(",", ";").replace(".", ","),
    "tabs and decimal commas": PLAIN.replace(",", "\t").replace(".", ","),
    "semicolons and decimal points": PLAIN.replace(",", " ; "),
    "blanks": PLAIN.replace(",", "   "),
    "quoted cells": PLAIN.replace(",", '","').replace("\n", '"\n"').removesuffix('"').join(('"', "")),
    "a mark of the encoding": "\ufeff" + PLAIN,
    "comments and empty lines": "# panel A, 2 m\n\n" + PLAIN.replace("\n", "\n\n# next\n"),
    "separators at the end of lines": PLAIN.replace("\n", ",,\n"),
    "line ends of Windows": PLAIN.replace("\n", "\r\n"),
    "exponents": "".join(f"{nm},{value * 1e7:.0f}E-7\n" for nm, value in zip(NM, np.round(LAMP, 6), strict=True)),
    "falling wavelengths": "".join(reversed(PLAIN.splitlines(keepends=True))),
}


def rows(nm: NDArray[np.float64], values: NDArray[np.float64] | float) -> str:
    table = np.broadcast_arrays(nm, values)
    return "".join(f"{float(a)!r},{float(b)!r}\n" for a, b in zip(*table, strict=True))


def written(folder: Path, content: str | bytes, name: str = "lamp.csv") -> Path:
    path = folder / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def read(folder: Path, content: str | bytes, name: str = "lamp.csv") -> Spectrum:
    return read_spectrum(written(folder, content, name))


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_spectrum(path)
    assert str(caught.value).startswith(f"{path}: ")
    return str(caught.value).removeprefix(f"{path}: ")


def exact_means(nm: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the means over each nm of the grid of straight lines between samples, 0 beyond, by scipy."""
    integral = make_interp_spline(nm, values, k=1).antiderivative()
    edges = np.clip(np.arange(379.5, 731), nm[0], nm[-1])
    means: NDArray[np.float64] = np.diff(integral(edges))
    return means


measured = st.builds(
    lambda start, steps, values: (
        start + np.concatenate([[0], np.cumsum(steps)]),
        np.resize(np.array(values), len(steps) + 1),
    ),
    st.floats(300, 400),
    st.lists(st.floats(0.05, 20), min_size=45, max_size=90).filter(lambda steps: sum(steps) > 400),
    st.lists(st.floats(1e-6, 10), min_size=3, max_size=90),
)
"""Wavelengths from below 400 to above 700 nm, and their values, all above zero."""


def test_a_spectrum_gives_one_lumen_and_cannot_be_changed(tmp_path: Path) -> None:
    spectrum = read(tmp_path, PLAIN)
    assert photometric_value(spectrum) == pytest.approx(1, rel=1e-14)
    assert (spectrum.shape, spectrum.flags.writeable) == (WAVELENGTHS_NM.shape, False)


@pytest.mark.parametrize("text", SPELLINGS.values(), ids=SPELLINGS)
def test_every_way_to_write_the_columns_reads_the_same(tmp_path: Path, text: str) -> None:
    content = text.encode("latin-1") if "ä" in text else text.encode()
    assert np.allclose(read(tmp_path, content, "lamp.TXT"), read(tmp_path, PLAIN), rtol=1e-12, atol=0)


@settings(deadline=None)
@given(measured)
def test_the_grid_holds_the_means_of_straight_lines_between_samples(
    tmp_path_factory: pytest.TempPathFactory, sampled: tuple[NDArray[np.float64], NDArray[np.float64]]
) -> None:
    got = read(tmp_path_factory.getbasetemp(), rows(*sampled), "means.csv")
    expected = exact_means(*sampled)
    assert np.allclose(got, expected / photometric_value(expected), rtol=1e-9, atol=1e-9 * got.max())


@settings(deadline=None)
@given(measured, st.floats(1e-20, 1e20))
def test_the_unit_of_the_values_does_not_matter(
    tmp_path_factory: pytest.TempPathFactory, sampled: tuple[NDArray[np.float64], NDArray[np.float64]], factor: float
) -> None:
    folder, (nm, values) = tmp_path_factory.getbasetemp(), sampled
    got = read(folder, rows(nm, values * factor), "unit.csv")
    assert np.allclose(got, read(folder, rows(nm, values), "unit.csv"), rtol=1e-12, atol=0)


def test_a_blackbody_by_1_nm_comes_back(tmp_path: Path) -> None:
    nm = np.arange(379.0, 732.0)
    values = np.interp(nm, WAVELENGTHS_NM, blackbody(4000))
    assert read(tmp_path, rows(nm, values))[1:-1] == pytest.approx(blackbody(4000)[1:-1], rel=1e-4)


def test_a_line_narrower_than_a_nm_keeps_its_power(tmp_path: Path) -> None:
    nm = np.arange(380, 730.01, 0.1)
    line = np.exp(-(((nm - 546.13) / 0.15) ** 2))
    spectrum = read(tmp_path, rows(nm, 1 + 100 * line))
    above = spectrum.sum() / spectrum[0:100].mean() - 351
    assert above == pytest.approx(100 * 0.15 * np.sqrt(np.pi), rel=0.05)  # the cell of 380 nm holds half a nm


def test_beyond_what_was_measured_there_is_no_light(tmp_path: Path) -> None:
    spectrum = read(tmp_path, rows(np.arange(400.0, 701.0, 10), 3.0))
    lit = np.flatnonzero(spectrum) + 380
    assert (lit[0], lit[-1]) == (400, 700)
    assert spectrum[20] == pytest.approx(spectrum[21] / 2)  # half of its nm was measured


def test_noise_just_below_zero_is_zero(tmp_path: Path) -> None:
    nm = np.arange(380.0, 781.0, 5)
    values = np.where(nm < 430, 0.0, 2.0)
    noisy = np.where(nm < 430, -0.0199, 2.0)
    assert np.array_equal(read(tmp_path, rows(nm, noisy)), read(tmp_path, rows(nm, values)))


def test_noise_where_the_grid_ends_is_no_reason_to_refuse(tmp_path: Path) -> None:
    nm = np.arange(300.0, 1101.0, 5)
    assert read(tmp_path, rows(nm, np.where(nm > 1000, -5.0, 1.0))).min() > 0


REFUSED = {
    "nothing": ("", "it holds no samples, should hold a wavelength in nm and a value for each"),
    "headings alone": (
        "wavelength,value\n",
        "it holds no samples, should hold a wavelength in nm and a value for each",
    ),
    "one column": ("1\n2\n", "line 1 has 1 column, should have two, a wavelength in nm and a value"),
    "three columns": ("nm;A;B\n380;1;2\n", "line 2 has 3 columns, should have two, a wavelength in nm and a value"),
    "commas for decimals and columns": (
        "380,5,0,1\n",
        "line 1 has 4 columns, should have two, a wavelength in nm and a value; decimals should be written "
        "with a point",
    ),
    "commas and points for decimals": (
        "380.5;1\n385;0,1\n",
        "line 2 has a comma in a number and line 1 a point: decimals should be written one way, and thousands "
        "without a mark",
    ),
    "a word for a value": (
        PLAIN + "785,low\n",
        "line 82: the value is 'low', should be a number below 1e+30",
    ),
    "a word for the first wavelength": (
        "38O,1\n" + PLAIN,
        "line 1: the wavelength is '38O', should be a number below 1e+30",
    ),
    "no number for a value": (PLAIN + "785,nan\n", "line 82: the value is 'nan', should be a number below 1e+30"),
    "an endless value": (PLAIN + "785,inf\n", "line 82: the value is 'inf', should be a number below 1e+30"),
    "a value past all floats": (PLAIN + "785,1e999\n", "line 82: the value is '1e999', should be a number below 1e+30"),
    "a number as programs write it": (
        PLAIN + "785,1_0\n",
        "line 82: the value is '1_0', should be a number below 1e+30",
    ),
    "a number that goes on and on": (
        PLAIN + "785," + "1" * 4_000_000 + "x\n",
        f"line 82: the value is '{'1' * 37}...', should be a number below 1e+30",
    ),
    "a control character": (PLAIN + "785,\x1b1\n", "line 82: the value is '\\x1b1', should be a number below 1e+30"),
    "micrometres": (
        rows(NM / 1000, 1.0),
        "wavelengths from 0.38 to 0.78 look like micrometres, should be written in nm",
    ),
    "metres": (rows(NM / 1e9, 1.0), "wavelengths from 3.8e-07 to 7.8e-07 look like metres, should be written in nm"),
    "ångström": (rows(NM * 10, 1.0), "wavelengths from 3800 to 7800 look like ångström, should be written in nm"),
    "a wavelength twice": (
        PLAIN.replace("\n500", "\n495"),
        "line 25: the wavelength 495 comes after 495, where they should rise from first to last, or fall, each once",
    ),
    "wavelengths in no order": (
        PLAIN.replace("\n500", "\n400"),
        "line 25: the wavelength 400 comes after 495, where they should rise from first to last, or fall, each once",
    ),
    "blue missing": (
        rows(NM[5:], 1.0),
        "wavelengths run from 405 to 780 nm, should reach at least from 400 to 700 nm",
    ),
    "red missing": (
        rows(NM[:-17], 1.0),
        "wavelengths run from 380 to 695 nm, should reach at least from 400 to 700 nm",
    ),
    "too few": (rows(NM[::5], 1.0), "it holds 12 samples from 400 to 700 nm, should hold 15 or more"),
    "a gap": (
        rows(np.delete(NM, slice(20, 25)), 1.0),
        "nothing is measured between 475 and 505 nm, where samples should be at most 25 nm apart",
    ),
    "a gap where red ends": (
        rows(NM[(NM < 690) | (NM > 715)], 1.0),
        "nothing is measured between 685 and 720 nm, where samples should be at most 25 nm apart",
    ),
    "all zero": (rows(NM, 0.0), "its largest value from 380 to 730 nm is 0, should be above 0: it holds no light"),
    "light beyond the grid alone": (
        rows(NM, np.where(NM > 730, 1.0, 0.0)),
        "its largest value from 380 to 730 nm is 0, should be above 0: it holds no light",
    ),
    "below zero": (
        rows(NM, np.where(NM == 600, -0.021, 2.0)),
        "line 45: the value -0.021 at 600 nm is below 0 by more than 1% of the largest, 2, should be 0 or more",
    ),
    "a picture": (
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
        "it is no plain text; save it as CSV (UTF-8) with a wavelength in nm and a value on each line",
    ),
    "text of two bytes a letter": (
        PLAIN.encode("utf-16"),
        "it is no plain text; save it as CSV (UTF-8) with a wavelength in nm and a value on each line",
    ),
}


@pytest.mark.parametrize(("content", "sentence"), REFUSED.values(), ids=REFUSED)
def test_what_is_no_spectrum_says_what_would_be_right(tmp_path: Path, content: str | bytes, sentence: str) -> None:
    assert refusal(written(tmp_path, content)) == sentence


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    for name in ("lamp.csv", "la\0mp.csv"):
        assert refusal(tmp_path / name) == "there is no such file; check the spelling"


def test_a_folder_says_so(tmp_path: Path) -> None:
    folder = tmp_path / "lamp.csv"
    folder.mkdir()
    assert refusal(folder) == "this is a folder; name the file of a spectrum in it"


def test_a_name_that_no_disk_takes_says_so(tmp_path: Path) -> None:
    assert refusal(tmp_path / f"{'a' * 300}.csv") == "it cannot be read (File name too long); check who may read it"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "lamp.csv")
    assert refusal(tmp_path / "lamp.csv") == "this is no file of its own; copy the file of a spectrum into one"


def test_another_ending_says_which_are_read(tmp_path: Path) -> None:
    assert refusal(written(tmp_path, PLAIN, "lamp.xlsx")) == (
        "it ends in '.xlsx', where a spectrum should be a .csv or .txt of wavelengths in nm and values, "
        "or an .spdx or .xml of IES TM-27"
    )


def test_a_file_above_5_mb_is_too_large_and_one_of_5_mb_is_not(tmp_path: Path) -> None:
    full = "# " + "x" * (5_000_000 - len(PLAIN) - 3) + "\n" + PLAIN
    assert read(tmp_path, full).max() > 0
    assert (
        refusal(written(tmp_path, full + "\n")) == "it is larger than 5 MB, where a file of a spectrum takes a few kB"
    )


@settings(deadline=None)
@given(st.binary() | st.text(" \t,;.0123456789e-+#\n").map(str.encode), st.sampled_from([".csv", ".txt"]))
def test_bytes_too_few_to_hold_a_spectrum_are_refused(
    tmp_path_factory: pytest.TempPathFactory, content: bytes, ending: str
) -> None:
    assert refusal(written(tmp_path_factory.getbasetemp(), content, f"bytes{ending}"))


@settings(deadline=None)
@given(st.integers(0, len(PLAIN)), st.integers(0, 40), st.binary(max_size=8) | st.text("\t,;.0e-\n").map(str.encode))
def test_a_damaged_file_is_a_spectrum_or_refused(
    tmp_path_factory: pytest.TempPathFactory, at: int, lost: int, added: bytes
) -> None:
    damaged = PLAIN.encode()[:at] + added + PLAIN.encode()[at + lost :]
    with suppress(InputError):
        spectrum = read(tmp_path_factory.getbasetemp(), damaged, "damaged.csv")
        assert photometric_value(np.abs(spectrum)) == pytest.approx(1)  # not so where one is below zero, or no number
