"""Exported files, read back by OpenEXR's own package and by colour-science, hold the light of the setup."""

from __future__ import annotations

import json
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from gallery.files.pictures import read_picture
from materials.arrays import Array
from tests.support.command import run

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # of plots that it cannot draw
    import colour

LIT = """
[subject]
mesh = "pill.stl"
height_cm = 9
[[subject.parts]]
match = "*"
base = "#b03018"
[[lamps]]  # in sight: its body is in the frame
name = "filament"
kind = "bulb"
diameter_cm = 1.2
lumens = 20
kelvin = 2700
at_cm = [3.6, 0, 8]
aim_cm = [0, 0, 5]
[[lamps]]
name = "cool"
size_cm = [10, 10]
lumens = 500
kelvin = 6500
ra = 80
at_cm = [-25, -15, 30]
aim_cm = [0, 0, 5]
[[lamps]]
name = "tube"
size_cm = [20, 3]
lumens = 200
spectrum = "FL12"
at_cm = [25, 5, 25]
aim_cm = [0, 0, 5]
"""
BULB_CD_M2 = 20 / (np.pi**2 * 0.012**2)  # of a sphere that shines evenly: lm / (pi 4 pi r2)
LM_PER_W = 683.002


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("export")
    trimesh.creation.capsule(height=6, radius=2).export(folder / "pill.stl")
    (folder / "lit.toml").write_text(LIT)
    for out in ("lit.exr", "lit.xyz.exr", "lit.tiff"):
        assert export(folder, out)[0] == out
    for lamp in ("filament", "cool", "tube"):
        assert export(folder, f"{lamp}.exr", "--lamp", lamp)[0] == f"{lamp}.exr"
    return folder


def export(folder: Path, out: str, *more: str) -> list[str]:
    """Return the lines that the command prints."""
    ran = run(folder, "export", "as-placed", "lit.toml", "--out", out, "--size", "60x80", *more)
    assert (ran.returncode, ran.stderr) == (0, ""), ran.stderr
    return ran.stdout.splitlines()


def by_openexr(path: Path) -> tuple[dict[str, Any], dict[str, Array]]:
    """Return the attributes and the channels, (height, width) each."""
    import OpenEXR

    with OpenEXR.File(str(path), separate_channels=True) as file:
        channels = {name: channel.pixels.astype(np.float64) for name, channel in file.channels().items()}
        return dict(file.header()), channels


def spectra_by_openexr(path: Path) -> tuple[Array, Array]:
    """Return wavelengths (n,) and radiance (height, width, n)."""
    _, channels = by_openexr(path)
    names = sorted(name for name in channels if name.startswith("S0."))
    wavelengths = [float(name.removeprefix("S0.").removesuffix("nm").replace(",", ".")) for name in names]
    return np.array(wavelengths), np.stack([channels[name] for name in names], axis=-1)


def spectra_by_colour(path: Path) -> tuple[Array, Array]:
    """Return the same."""
    wavelengths, radiance = colour.read_spectral_image_Fichet2021(str(path), additional_data=False)["S0"]
    order = np.argsort(wavelengths)
    return wavelengths[order], radiance[..., order].astype(np.float64)


def xyz_of(path: Path) -> Array:
    _, channels = by_openexr(path)
    return np.stack([channels[name] for name in "RGB"], axis=-1)


def observer(wavelengths: Array) -> Array:
    """Return the CIE 1931 observer of colour-science, (n, 3)."""
    functions = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy()
    return np.stack([np.interp(wavelengths, functions.wavelengths, values) for values in functions.values.T], axis=-1)


READERS = pytest.mark.parametrize("read", [spectra_by_openexr, spectra_by_colour], ids=["OpenEXR", "colour"])


@READERS
def test_summed_by_5_nm_the_spectra_have_the_xyz_of_the_picture_within_a_fifth_of_a_percent(
    read: Callable[[Path], tuple[Array, Array]], folder: Path
) -> None:
    wavelengths, radiance = read(folder / "lit.exr")
    np.testing.assert_array_equal(wavelengths, np.arange(380, 731, 5))
    xyz = xyz_of(folder / "lit.xyz.exr")
    assert xyz[..., 1].min() > 0
    np.testing.assert_allclose(LM_PER_W * 5 * radiance @ observer(wavelengths), xyz, rtol=2e-3)


@READERS
def test_the_lamps_pictures_times_their_spectra_add_up_to_the_picture_of_the_setup(
    read: Callable[[Path], tuple[Array, Array]], folder: Path
) -> None:
    nm = np.arange(380.0, 731.0)
    total = np.zeros((80, 60, 3))
    for lamp in ("filament", "cool", "tube"):
        wavelengths, response = read(folder / f"{lamp}.exr")
        attributes, _ = by_openexr(folder / f"{lamp}.exr")
        spectrum = colour.io.spectrum_attribute_to_sd_Fichet2021(attributes["lampRadiance"])
        np.testing.assert_array_equal(spectrum.wavelengths, nm)
        hats = np.array([np.interp(nm, wavelengths, node) for node in np.eye(wavelengths.size)])
        total += LM_PER_W * response @ (hats * spectrum.values) @ observer(nm)
    np.testing.assert_allclose(total, xyz_of(folder / "lit.xyz.exr"), rtol=2e-3)


def test_a_lamp_in_the_frame_is_as_bright_as_it_is(folder: Path) -> None:
    xyz = xyz_of(folder / "lit.xyz.exr")
    assert xyz[..., 1].max() == pytest.approx(BULB_CD_M2, rel=1e-3)
    _, response = spectra_by_openexr(folder / "filament.exr")
    np.testing.assert_allclose(response[xyz[..., 1] > 0.99 * BULB_CD_M2], 1, rtol=1e-4)
    _, other = spectra_by_openexr(folder / "cool.exr")
    assert not other[xyz[..., 1] > 0.99 * BULB_CD_M2].any()  # hidden behind it


def test_the_attributes_are_those_of_the_layout_and_of_openexr(folder: Path) -> None:
    attributes, channels = by_openexr(folder / "lit.exr")
    proof = run(folder, "proof", "as-placed", "lit.toml", "--size", "60x80", "--json")
    camera = json.loads(proof.stdout)["camera"]
    assert (attributes["spectralLayoutVersion"], attributes["emissiveUnits"]) == ("1.0", "W.m^-2.sr^-1")
    assert attributes["isoSpeed"] == pytest.approx(camera["iso"], rel=1e-4)
    assert attributes["expTime"] == pytest.approx(camera["shutter_s"], rel=1e-4)
    assert attributes["aperture"] == pytest.approx(camera["f_number"], rel=1e-4)
    assert {"R", "G", "B"} < channels.keys()
    attributes, _ = by_openexr(folder / "lit.xyz.exr")
    np.testing.assert_allclose(attributes["chromaticities"], (1, 0, 0, 1, 0, 0, 1 / 3, 1 / 3), rtol=1e-6)
    assert attributes["whiteLuminance"] == 1.0


def test_the_tiff_is_the_frame_that_proof_shows_in_16_bits(folder: Path) -> None:
    run(folder, "proof", "as-placed", "lit.toml", "--size", "60x80")
    shown, exported = read_picture(folder / "as-placed--as-built.png"), read_picture(folder / "lit.tiff")
    assert exported.dtype == np.uint16
    assert np.abs(exported / 257 - shown).max() < 1  # which is dithered
    assert np.unique(exported).size > 256


def test_nothing_else_is_left_in_the_folder(folder: Path) -> None:
    assert not [path for path in folder.iterdir() if path.name.startswith(".")]
