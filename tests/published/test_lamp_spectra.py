"""The spectra of lamps and their colour rendering against published numbers and the reference library."""

from __future__ import annotations

import colour
import numpy as np
import pytest
from colour.quality import cri
from numpy.typing import NDArray

from materials.light.colour_rendering import colour_rendering_index, special_rendering_indices
from materials.light.colour_temperature import cct_duv
from materials.light.illuminants import daylight, illuminant, illuminant_names, tabulated_spectra
from materials.light.led import bicolour_led, cool_share, white_led
from materials.light.observer import COLOUR_MATCHING, WAVELENGTHS_NM
from materials.light.spectra import Spectrum, chromaticity_xy, luminous_efficacy_of_radiation
from tests.data_scripts.make_lamp_spectra import tables
from tests.data_scripts.make_observer import COLOUR, LIGHT, MATERIALS, notice
from tests.support.report import absolute, report

CIE_15 = "CIE 15:2018"
LIBRARY = "CIE 13.3-1995, in colour-science"
GRID = colour.SpectralShape(380, 730, 1)
# second radiation constants, m K: SI 2019 over the one of the library
SI_OVER_LIBRARY = 1.438776877e-2 / 1.4388e-2
LED_CCT = dict(  # memory
    zip(
        ("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-BH1", "LED-RGB1", "LED-V1", "LED-V2"),
        (2733, 2998, 4103, 5109, 6598, 2851, 2840, 2724, 4070),
        strict=True,
    )
)
FL_CCT = (6430, 4230, 3450, 2940, 6350, 4150, 6500, 5000, 4150, 5000, 4000, 3000)  # memory
FL_RA = (76, 64, 57, 51, 72, 59, 90, 95, 90, 81, 83, 83)  # memory
# the library says of each of its tables that it cuts it to the grid
ON_THE_GRID = pytest.mark.filterwarnings("ignore::colour.utilities.ColourRuntimeWarning")


def by_5_nm(spectrum: Spectrum) -> Spectrum:
    """Return a spectrum that a sum over the grid integrates by 5 nm, as the published values were."""
    return spectrum * np.where(WAVELENGTHS_NM % 5 == 0, 5.0, 0.0)


def ohno(spectrum: Spectrum) -> tuple[float, float]:
    """Return CCT and Duv by the reference library's Ohno 2013, on the grid of the project."""
    matching = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().trim(GRID)
    uv = colour.xy_to_UCS_uv(chromaticity_xy(spectrum))
    kelvin, duv = colour.temperature.uv_to_CCT_Ohno2013(uv, cmfs=matching, start=1000, end=25000, spacing=1.001)
    return float(kelvin) * SI_OVER_LIBRARY, float(duv)


def indices_of_the_library(light: colour.SpectralDistribution) -> NDArray[np.float64]:
    """Return Ra and R1 to R14, (15,)."""
    found = cri.colour_rendering_index(light, additional_data=True)
    return np.array([found.Q_a, *(found.Q_as[number].Q_a for number in range(1, 15))])


def lab_of_test_colours(light: Spectrum) -> NDArray[np.float64]:
    """Return Lab of the test-colour samples of CIE 13.3 in a light, (14, 3), the light itself as the white."""
    values = np.array([*tabulated_spectra("test_colours.csv").values()]) * light @ COLOUR_MATCHING.T
    lab: NDArray[np.float64] = colour.XYZ_to_Lab(values / (COLOUR_MATCHING[1] @ light), chromaticity_xy(light))
    return lab


def own_indices(spectrum: Spectrum) -> NDArray[np.float64]:
    return np.array([colour_rendering_index(spectrum), *special_rendering_indices(spectrum)])


@pytest.mark.parametrize("name", illuminant_names())
def test_an_illuminant_has_its_published_chromaticity(name: str) -> None:
    published = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][name]
    by_row, by_line = chromaticity_xy(by_5_nm(illuminant(name))), chromaticity_xy(illuminant(name))
    for axis, expected, at_rows, on_lines in zip("xy", published, by_row, by_line, strict=True):
        source = f"{CIE_15}, in colour-science"
        # half the last of four decimals, and the end of the grid at 730 nm; then what straight lines between rows add
        report(f"{name} {axis} by 5 nm", source, float(expected), float(at_rows), absolute(6e-5))
        report(f"{name} {axis} on the grid", source, float(expected), float(on_lines), absolute(3e-4))


@pytest.mark.parametrize("name", LED_CCT)
def test_an_led_has_its_published_colour_temperature(name: str) -> None:
    # the rounding of the published x and y is worth 1.5 K, the end of the grid at 730 nm 1 K
    got, _ = cct_duv(by_5_nm(illuminant(name)))
    report(f"CCT of {name} by 5 nm, K", f"{CIE_15} (memory)", LED_CCT[name], got, absolute(2))


@pytest.mark.parametrize(("number", "kelvin", "index"), [*zip(range(1, 13), FL_CCT, FL_RA, strict=True)])
def test_a_fluorescent_lamp_has_its_published_colour_temperature_and_rendering(
    number: int, kelvin: float, index: float
) -> None:
    name = f"FL{number}"
    # published to 10 K and to whole numbers; the grid adds 2 K and 0.1
    got, _ = cct_duv(by_5_nm(illuminant(name)))
    report(f"CCT of {name} by 5 nm, K", f"{CIE_15} (memory)", kelvin, got, absolute(7))
    report(f"Ra of {name}", f"{CIE_15} (memory)", index, colour_rendering_index(illuminant(name)), absolute(0.6))


def test_led_b3_has_its_published_colour_rendering() -> None:
    report("Ra of LED-B3", CIE_15, 84.8, colour_rendering_index(illuminant("LED-B3")), absolute(0.1))


@pytest.mark.parametrize("name", ["D50", "D55", "D65", "D75"])
def test_daylight_of_the_corrected_temperature_is_the_tabulated_illuminant(name: str) -> None:
    # CIE 15: c2 was 1.4380e-2 m K when the nominal temperatures were named
    made, table = (
        spectrum[180] ** -1 * spectrum for spectrum in (daylight(int(name[1:]) * 143.88 / 1.4380), illuminant(name))
    )
    worst = 100 * float(np.abs(made - table).max())
    # the tables have three decimals, that of D65 four
    report(f"{name}, 100 at 560 nm, worst of the grid", CIE_15, 0, worst, absolute(1e-3))


@pytest.mark.parametrize("name", illuminant_names())
def test_colour_rendering_on_the_grid_is_that_of_the_reference_library_over_the_whole_range(name: str) -> None:
    # what the end of the grid at 730 nm costs
    expected, got = indices_of_the_library(colour.SDS_ILLUMINANTS[name]), own_indices(illuminant(name))
    report(f"Ra of {name}, library to 780 nm", LIBRARY, float(expected[0]), float(got[0]), absolute(0.05))
    report(f"R9 of {name}, library to 780 nm", LIBRARY, float(expected[9]), float(got[9]), absolute(0.35))
    worst = float(np.abs(got - expected).max())
    report(f"R1 to R14 of {name}, library to 780 nm, worst", LIBRARY, 0, worst, absolute(0.6))


@ON_THE_GRID
@pytest.mark.parametrize("name", [*illuminant_names(), "bi-colour 4000 K"])
def test_colour_rendering_is_that_of_the_reference_library_on_the_same_grid(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    spectrum = illuminant(name) if name in illuminant_names() else bicolour_led(4000, 2700, 6500, 95)
    light = colour.SpectralDistribution(spectrum, WAVELENGTHS_NM)
    monkeypatch.setattr(cri, "SPECTRAL_SHAPE_DEFAULT", GRID)
    got = own_indices(spectrum)
    expected = float(indices_of_the_library(light)[0])
    report(f"Ra of {name}, library to 730 nm", LIBRARY, expected, float(got[0]), absolute(0.05))
    # Robertson's CCT, to a kelvin or two, is all that is left of the difference
    kelvin = ohno(spectrum)[0] / SI_OVER_LIBRARY
    monkeypatch.setattr(cri, "uv_to_CCT_Robertson1968", lambda _: (kelvin, 0.0))
    worst = float(np.abs(got - indices_of_the_library(light)).max())
    report(f"Ra, R1 to R14 of {name}, CCT by Ohno, worst", LIBRARY, 0, worst, absolute(1e-3))


@ON_THE_GRID
@pytest.mark.parametrize("kelvin", [2700, 3200, 4000, 5600, 6500])
@pytest.mark.parametrize("ra", [80, 90, 95, 97])
def test_a_white_led_renders_colours_as_its_label_says(
    kelvin: float, ra: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    # what the library's Robertson 1968 costs, and the grid's end at 730 nm
    monkeypatch.setattr(cri, "SPECTRAL_SHAPE_DEFAULT", GRID)
    found = indices_of_the_library(colour.SpectralDistribution(white_led(kelvin, ra), WAVELENGTHS_NM))
    report(f"Ra of a white LED of {kelvin} K made for {ra}", LIBRARY, ra, float(found[0]), absolute(0.1))


@pytest.mark.parametrize("name", ["LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"])
def test_colours_under_a_white_led_are_those_under_a_published_one_of_its_kelvin_and_index(name: str) -> None:
    """Blackbodies of the same kelvin are 2 to 3 away in the mean, and up to 10."""
    published = illuminant(name)
    # LED-B4 has 77 and LED-B5 80.3, on labels 80
    made = white_led(cct_duv(published)[0], max(colour_rendering_index(published), 80.0))
    labs = [lab_of_test_colours(light) for light in (published, made)]
    apart = colour.delta_E(*labs, method="CIE 2000")
    report(f"CIE 13.3 samples, {name} to the model, mean CIEDE2000", CIE_15, 0, float(apart.mean()), absolute(0.7))
    report(f"CIE 13.3 samples, {name} to the model, worst CIEDE2000", CIE_15, 0, float(apart.max()), absolute(1.5))


@pytest.mark.parametrize("ra", [80, 90, 95, 97])
@pytest.mark.parametrize("kelvin", [2700, 3200, 4000, 5600, 6500])
def test_a_white_led_has_the_chromaticity_and_temperature_it_is_made_for(kelvin: float, ra: float) -> None:
    wanted = chromaticity_xy(colour.sd_blackbody(kelvin / SI_OVER_LIBRARY, GRID).values)
    led = white_led(kelvin, ra)
    for axis, expected, got in zip("xy", wanted, chromaticity_xy(led), strict=True):
        source = "Planck's law, in colour-science"
        report(f"white LED {kelvin} K Ra {ra} {axis}", source, float(expected), float(got), absolute(1e-9))
    got_kelvin, duv = ohno(led)
    report(
        f"CCT of a white LED, {kelvin} K Ra {ra}", "Ohno 2014, in colour-science", kelvin, got_kelvin, absolute(0.05)
    )
    report(f"Duv of a white LED, {kelvin} K Ra {ra}", "Ohno 2014, in colour-science", 0, duv, absolute(1e-6))


@pytest.mark.parametrize("ra", [80, 90, 95, 97])
@pytest.mark.parametrize("kelvin", [2700, 3200, 4000, 5600, 6500])
def test_a_white_led_lies_in_the_published_span_of_efficacy(kelvin: float, ra: float) -> None:
    efficacy = luminous_efficacy_of_radiation(white_led(kelvin, ra))
    source = "Murphy, J. Appl. Phys. 111, 104909, 2012"
    report(f"white LED {kelvin} K Ra {ra}, lm/W, middle of 250 to 370", source, 310, efficacy, absolute(60))


@pytest.mark.parametrize(("kelvin", "warm", "cool"), [(4000, 3200, 5600), (4800, 3200, 5600), (4000, 2700, 6500)])
def test_a_bicolour_panel_has_the_temperature_it_is_set_to(kelvin: float, warm: float, cool: float) -> None:
    expected, duv = ohno(bicolour_led(kelvin, warm, cool, 95))
    share = cool_share(kelvin, warm, cool)
    case = f"{warm} to {cool} K at {kelvin} K, {share:.1%} cool"
    report(f"CCT of bi-colour {case}, K", "Ohno 2014, in colour-science", expected, kelvin, absolute(0.05))
    got = cct_duv(bicolour_led(kelvin, warm, cool, 95))[1]
    report(f"Duv of bi-colour {case}", "Ohno 2014, in colour-science", duv, got, absolute(1e-7))


def test_the_data_files_hold_the_tables_of_the_reference_library() -> None:
    for name, text in tables().items():
        written = (LIGHT / name).read_text(encoding="utf-8")
        assert [line for line in written.splitlines() if line[0] != "#"] == [
            line for line in text.splitlines() if line[0] != "#"
        ]


def test_the_notice_names_every_data_file() -> None:
    assert (MATERIALS / "NOTICE-colour-science.txt").read_text(encoding="utf-8") == notice()
    assert all(file.name in notice() for folder in (COLOUR, LIGHT) for file in folder.glob("*.csv"))
