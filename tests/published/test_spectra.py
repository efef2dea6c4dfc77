"""Spectra against published numbers."""

from __future__ import annotations

import colour
import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.constants import Stefan_Boltzmann

from materials.light.colour_temperature import cct_duv
from materials.light.observer import COLOUR_MATCHING, D65, WAVELENGTHS_NM
from materials.light.spectra import chromaticity_xy, photometric_value, planck
from tests.data_scripts.make_observer import LIGHT, table
from tests.support.report import absolute, relative, report

PLANCK_SI = "Planck's law, SI 2019 constants, in closed form"
CIE_15 = "CIE 15:2018"
# second radiation constants, m K: SI 2019 over the one of Robertson and of the library's own Planck's law
SI_OVER_LIBRARY = 1.438776877e-2 / 1.4388e-2


def on_grid(illuminant: str) -> NDArray[np.float64]:
    """Return an illuminant of the reference library on the grid of the project."""
    tabulated = colour.SDS_ILLUMINANTS[illuminant]
    values: NDArray[np.float64] = np.interp(WAVELENGTHS_NM, tabulated.wavelengths, tabulated.values)
    return values


def by_5_nm(illuminant: str) -> NDArray[np.float64]:
    """Return an illuminant that a sum over the grid integrates by 5 nm, as the published values were."""
    return on_grid(illuminant) * np.where(WAVELENGTHS_NM % 5 == 0, 5.0, 0.0)


def efficacy_of_blackbody(kelvin: float) -> float:
    """Return lumens per watt of all that a blackbody radiates, ultraviolet and infrared included."""
    return float(np.pi * photometric_value(planck(kelvin)) / (Stefan_Boltzmann * kelvin**4))


def uv_1960(xy: NDArray[np.float64]) -> NDArray[np.float64]:
    x, y = xy
    uv: NDArray[np.float64] = np.array([4 * x, 6 * y]) / (12 * y - 2 * x + 3)
    return uv


@pytest.mark.parametrize(
    ("kelvin", "radiances"),
    [
        (2856, (88.7073, 258.477, 442.190)),
        (5000, (10801.1, 12740.3, 12415.3)),
        (6500, (47511.7, 42706.3, 35243.6)),
    ],
)
def test_planck_gives_the_radiance_of_the_closed_form(kelvin: float, radiances: tuple[float, float, float]) -> None:
    for nm, expected, got in zip((450, 555, 650), radiances, planck(kelvin, [450, 555, 650]), strict=True):
        report(f"Planck {kelvin} K {nm} nm, W/(m2 sr nm)", PLANCK_SI, expected, float(got), relative(1e-5))


@pytest.mark.parametrize("kelvin", [2856, 6500])
def test_planck_peaks_where_wien_says(kelvin: float) -> None:
    product = 2.897771955e-3 * np.linspace(0.999, 1.001, 4001)  # m K
    got = product[np.argmax(planck(kelvin, product / kelvin * 1e9))]
    report(f"Wien {kelvin} K, m K", "Wien's displacement law, CODATA 2018", 2.897771955e-3, got, relative(1e-6))


@pytest.mark.parametrize(
    ("kelvin", "x", "y"),
    [
        (2000, 0.52668, 0.41330),
        (3000, 0.43693, 0.40407),
        (4000, 0.38044, 0.37675),
        (5000, 0.34510, 0.35161),
        (6500, 0.31353, 0.32363),
        (10000, 0.28063, 0.28829),
    ],
)
def test_a_blackbody_has_the_chromaticity_of_the_planckian_locus(kelvin: float, x: float, y: float) -> None:
    got = chromaticity_xy(planck(kelvin))
    for name, expected, value in zip("xy", (x, y), got, strict=True):
        case = f"Planckian {name} {kelvin} K"
        report(case, "Planck's law and CIE 1931 over 360-830 nm", expected, float(value), absolute(2e-4))


def test_planck_gives_the_isotemperature_lines_of_robertson() -> None:
    wide = np.arange(360.0, 831.0)
    matching = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"][wide].T
    worst = max(_off_robertson(mired, u, v, wide, matching) for mired, u, v in _robertson())
    report(
        "30 lines 10 to 600 mired, observer 360-830 nm, worst of u, v",
        "Robertson 1968, in colour-science",
        0,
        worst,
        absolute(1e-5),
    )


def test_the_grid_keeps_the_lines_of_robertson_within_the_tolerance_of_chromaticity() -> None:
    worst = max(_off_robertson(mired, u, v, WAVELENGTHS_NM, COLOUR_MATCHING) for mired, u, v in _robertson())
    report(
        "30 lines 10 to 600 mired, grid 380-730 nm, worst of u, v",
        "Robertson 1968, in colour-science",
        0,
        worst,
        absolute(2e-4),
    )


def _robertson() -> list[tuple[float, float, float]]:
    rows = colour.temperature.robertson1968.DATA_ISOTEMPERATURE_LINES_ROBERTSON1968
    lines = [(row[0], row[1], row[2]) for row in rows if row[0] > 0]
    assert len(lines) == 30
    return lines


def _off_robertson(mired: float, u: float, v: float, nm: NDArray[np.float64], matching: NDArray[np.float64]) -> float:
    values = matching @ planck(1e6 / mired * SI_OVER_LIBRARY, nm)
    return float(np.abs(uv_1960(values[:2] / values.sum()) - [u, v]).max())


@pytest.mark.parametrize(("illuminant", "x", "y"), [("A", 0.44758, 0.40745), ("D65", 0.31272, 0.32903)])
def test_a_standard_illuminant_has_its_chromaticity(illuminant: str, x: float, y: float) -> None:
    got = chromaticity_xy(on_grid(illuminant))
    for name, expected, value in zip("xy", (x, y), got, strict=True):
        report(f"illuminant {illuminant} {name}", CIE_15, expected, float(value), absolute(1e-4))


@pytest.mark.parametrize(("illuminant", "kelvin"), [("A", 2856), ("D65", 6504)])
def test_a_standard_illuminant_has_its_colour_temperature(illuminant: str, kelvin: float) -> None:
    report(f"CCT of {illuminant}, K", CIE_15, kelvin, cct_duv(on_grid(illuminant))[0], absolute(1))


def test_a_white_led_has_its_published_chromaticity_temperature_and_efficacy() -> None:
    spectrum = by_5_nm("LED-B3")
    for name, expected, value in zip("xy", (0.3756, 0.3723), chromaticity_xy(spectrum), strict=True):
        report(f"LED-B3 {name}", CIE_15, expected, float(value), absolute(5e-5))
    # the rounding of the published x and y is worth 1.5 K, the end of the grid at 730 nm 1 K
    report("LED-B3 CCT, K", CIE_15, 4103, cct_duv(spectrum)[0], absolute(2))
    watts = 5 * float(np.sum(colour.SDS_ILLUMINANTS["LED-B3"].values))
    report("LED-B3 lm/W", CIE_15, 317, photometric_value(spectrum) / watts, absolute(0.5))


@pytest.mark.parametrize("illuminant", ["LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"])
def test_blue_pumped_white_leds_lie_in_the_published_span_of_efficacy(illuminant: str) -> None:
    tabulated = colour.SDS_ILLUMINANTS[illuminant]
    efficacy = photometric_value(by_5_nm(illuminant)) / (5 * float(np.sum(tabulated.values)))
    report(
        f"{illuminant} lm/W, middle of 250 to 370",
        "Murphy, J. Appl. Phys. 111, 104909, 2012",
        310,
        efficacy,
        absolute(60),
    )


@pytest.mark.parametrize(("kelvin", "lumens_per_watt"), [(3000, 20.67), (4000, 54.71), (5000, 81.39)])
def test_a_blackbody_has_its_luminous_efficacy(kelvin: float, lumens_per_watt: float) -> None:
    source = "Planck's law, V(lambda) and Stefan-Boltzmann"
    report(f"efficacy {kelvin} K, lm/W", source, lumens_per_watt, efficacy_of_blackbody(kelvin), relative(1e-3))


def test_no_blackbody_gives_more_light_per_watt_than_one_of_6628_k() -> None:
    source = "Planck's law, V(lambda) and Stefan-Boltzmann"
    kelvins = np.arange(6000, 7301)
    efficacies = np.array([efficacy_of_blackbody(float(k)) for k in kelvins])
    report("greatest efficacy, lm/W", source, 95.43, float(efficacies.max()), relative(1e-3))
    report("its temperature, K", source, 6628, float(kelvins[efficacies.argmax()]), relative(1e-3))


@pytest.mark.parametrize(
    ("kelvin", "tint"),
    [(k, t) for k in (1500, 2700, 4000, 6500, 10000) for t in (-0.4, 0.0, 0.4)] + [(20000, 0.0), (20000, 0.4)],
)
def test_the_colour_temperature_of_a_tinted_light_is_that_of_ohno(kelvin: float, tint: float) -> None:
    matching = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy()
    matching.trim(colour.SpectralShape(380, 730, 1))
    green = np.exp(-(((WAVELENGTHS_NM - 545) / 45) ** 2))
    spectrum = planck(kelvin) * (1 + tint * green)
    expected, expected_duv = colour.temperature.uv_to_CCT_Ohno2013(
        uv_1960(chromaticity_xy(spectrum)), cmfs=matching, start=1000, end=25000, spacing=1.0005
    )
    got, got_duv = cct_duv(spectrum)
    source = "Ohno 2014, in colour-science"
    expected *= SI_OVER_LIBRARY
    report(f"CCT, {kelvin} K tinted {tint:+.1f}, K", source, float(expected), got, absolute(0.05))
    report(f"Duv, {kelvin} K tinted {tint:+.1f}", source, float(expected_duv), got_duv, absolute(1e-7))


def test_the_data_file_holds_the_tables_of_the_reference_library() -> None:
    written = (LIGHT / "observer.csv").read_text(encoding="utf-8")
    assert [line for line in written.splitlines() if line[0].isdigit()] == [
        line for line in table().splitlines() if line[0].isdigit()
    ]


def test_d65_on_the_grid_is_the_tabulated_one_every_5_nm() -> None:
    assert np.array_equal(D65[::5], colour.SDS_ILLUMINANTS["D65"][WAVELENGTHS_NM[::5]])
