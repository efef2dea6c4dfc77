"""Colours in Lab and Munsell notation against published values and a reference library."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import linprog

from materials.colour.lab import lab_to_xyz
from materials.colour.mixing import MIXED_COLOURS, mixing_spectra
from materials.colour.munsell import WHITE_C, munsell_to_xyz, munsell_value_to_luminance
from materials.colour.notation import reflectance_from
from materials.colour.srgb import XYZ_TO_LINEAR_SRGB
from materials.colour.upsampling import reflectance_from_linear_srgb
from materials.light.observer import COLOUR_MATCHING, D65, WAVELENGTHS_NM
from tests.support.report import absolute, report

ASTM = "ASTM D1535, Munsell value"
RENOTATION = "colour-science, munsell_colour_to_xyY, adapted by Bradford"
LAB = "colour-science, Lab_to_XYZ under D65"
SRGB = "IEC 61966-2-1, matrix in colour-science"
D65_XY = (0.3127, 0.3290)


@pytest.fixture(scope="module")
def colour() -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        yield colour


def xyz_of(words: str) -> NDArray[np.float64]:
    """Return XYZ under D65 of what a colour in words reflects."""
    return np.asarray(COLOUR_MATCHING @ (reflectance_from(words) * D65) / (COLOUR_MATCHING[1] @ D65))


def test_munsell_n5_reflects_19_27_per_cent() -> None:
    report("Munsell N5, Y in per cent", ASTM, 19.27, 100 * munsell_value_to_luminance(5), absolute(0.005))
    report("Munsell N5 as a surface", ASTM, 19.27, 100 * float(reflectance_from("N 5")[0]), absolute(0.005))


@pytest.mark.parametrize("value", [1, 2, 4, 8, 10])
def test_munsell_values_have_the_y_of_the_standard(colour: Any, value: float) -> None:
    expected = float(colour.colorimetry.luminance_ASTMD1535(value))
    report(
        f"Munsell value {value}, Y",
        "colour-science, luminance_ASTMD1535",
        expected,
        100 * munsell_value_to_luminance(value),
        absolute(1e-3),
    )


@pytest.mark.parametrize(
    ("notation", "tolerance"),
    [("5R 4/14", 0.02), ("10YR 6/8", 0.02), ("2.5G 5/6", 0.02), ("7.5PB 3/10", 0.02), ("2.5YR 5.5/6", 0.2),
     ("10RP 3.2/7.3", 0.2), ("5B 5/8", 0.05), ("5GY 6.5/7", 0.2)],
)  # fmt: skip
def test_munsell_colours_are_those_of_the_renotation(colour: Any, notation: str, tolerance: float) -> None:
    """At the data's own colours to what rounding leaves, CIEDE2000; between them to a fifth of what can be seen."""
    seen = colour.xyY_to_XYZ(colour.notation.munsell_colour_to_xyY(notation))
    whites = colour.xy_to_XYZ(WHITE_C), colour.xy_to_XYZ(D65_XY)
    adapted = colour.adaptation.chromatic_adaptation_VonKries(seen, *whites, transform="Bradford")
    expected, got = (colour.XYZ_to_Lab(xyz, D65_XY) for xyz in (adapted, munsell_to_xyz(notation)))
    report(f"Munsell {notation}, CIEDE2000", RENOTATION, 0.0, float(colour.delta_E(expected, got)), absolute(tolerance))


@pytest.mark.parametrize("lab", [(52, 41, 30), (18, 4, -22), (90, -3, 12), (5, 1, 2), (60, -50, 20)])
def test_lab_is_the_colour_that_comes_back(colour: Any, lab: tuple[float, float, float]) -> None:
    expected = colour.Lab_to_XYZ(np.array(lab), D65_XY)
    for axis, wanted, got in zip("XYZ", expected, lab_to_xyz([*lab]), strict=True):
        report(f"lab{lab}, {axis}", LAB, wanted, float(got), absolute(5e-4))
    np.testing.assert_allclose(xyz_of(f"lab{lab}"), lab_to_xyz([*lab]), atol=2e-6)


def test_lab_under_d50_is_adapted_to_d65(colour: Any) -> None:
    d50 = np.array([0.96422, 1.0, 0.82521])
    seen = colour.Lab_to_XYZ(np.array([52, 41, 30]), colour.XYZ_to_xy(d50))
    whites = d50, colour.xy_to_XYZ(D65_XY)
    expected = colour.adaptation.chromatic_adaptation_VonKries(seen, *whites, transform="Bradford")
    for axis, wanted, got in zip("XYZ", expected, xyz_of("lab-d50(52, 41, 30)"), strict=True):
        report(f"lab-d50(52, 41, 30), {axis}", "colour-science, Bradford", wanted, float(got), absolute(5e-4))


def test_a_colour_is_refused_only_where_no_surface_has_it() -> None:
    """The solid of object colours (Schroedinger 1920, MacAdam 1935) by linear programming over all reflectances."""
    to_rgb = XYZ_TO_LINEAR_SRGB @ (COLOUR_MATCHING * D65 / (COLOUR_MATCHING[1] @ D65))
    random = np.random.default_rng(3)
    for case in range(12):
        edge = np.sort(random.uniform(400, 700, 2))
        band = ((edge[0] < WAVELENGTHS_NM) & (edge[1] > WAVELENGTHS_NM)).astype(float)
        colour = to_rgb @ (band if case % 2 else 1 - band)
        grey = np.full(3, np.clip(colour.mean(), 0.05, 0.95))
        towards = colour - grey
        # the furthest from grey: all of 351 shares within 0 and 1, and how far, at its largest
        found = linprog(
            np.append(np.zeros(351), -1),
            A_eq=np.column_stack([to_rgb, -towards]),
            b_eq=grey,
            bounds=[(0, 1)] * 351 + [(0, None)],
        )
        furthest = found.x[-1]
        kept = reflectance_from_linear_srgb(grey + 0.99 * furthest * towards)
        np.testing.assert_allclose(to_rgb @ kept, grey + 0.99 * furthest * towards, atol=1e-6)
        with pytest.raises(ValueError, match="no surface"):
            reflectance_from_linear_srgb(grey + 1.01 * furthest * towards)


def test_what_pictures_are_mixed_of_has_its_colour_in_daylight(colour: Any) -> None:
    to_srgb = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
    wanted = [*np.eye(3), *(1 - np.eye(3))]
    for width, spectra in zip(("broad", "narrow"), mixing_spectra(), strict=True):
        for name, linear, reflectance in zip(MIXED_COLOURS, wanted, spectra, strict=True):
            got = to_srgb @ (COLOUR_MATCHING @ (reflectance * D65) / (COLOUR_MATCHING[1] @ D65))
            for channel, expected, value in zip("RGB", linear, got, strict=True):
                report(f"{width} {name}, {channel} under D65", SRGB, float(expected), float(value), absolute(1e-3))
