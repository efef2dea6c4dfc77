"""Exposure and tone against published numbers."""

from __future__ import annotations

import numpy as np
import pytest

from materials.colour.srgb import srgb_decode
from render.camera.development import develop, encode
from render.camera.exposure import Exposure, choose_exposure
from scenes.arrangement.arrangement import CameraModel
from scenes.arrangement.reading import fill_model
from scenes.stage.lens import lens_setting
from scenes.stage.viewpoint import Viewpoint
from scenes.units import mired, stops
from tests.support.report import absolute, relative, report

ISO_12232 = "ISO 12232: H = q L t / N2, q .65, saturation at S H = 78"
SOS = "ISO 12232: an 18 % card at S H = 10"
ISO_2720 = "ISO 2720: EV = log2(N2 / t) at ISO 100, K 12.5"
INCIDENT = "ISO 2720: E = 2.5 x 2^EV lx, L = 2^(EV - 3) cd/m2 at ISO 100, C 250, K 12.5"
HANDBOOK = "handbooks of the trade: bellows, N (1 + m)"
COURSE = "US Army courses SS0511 and SS0512: bellows extension factors"
TEXTBOOK = "a textbook's 'Exposure increase for close-ups': a 50 mm lens"
SRGB = "IEC 61966-2-1"
FILTERS = "mired shift of conversion filters, widely published"
FULL_FRAME = fill_model({"kind": "camera"}, CameraModel, "test")
D65 = np.array([0.95047, 1.0, 1.08883])


@pytest.mark.parametrize(
    ("f_number", "shutter_s", "ev"),
    [(16, 1 / 125, 14.97), (8, 1 / 125, 12.97), (1, 1, 0), (4, 1 / 4, 6), (1.4, 1 / 60, 6.88)],
)
def test_an_exposure_has_its_exposure_value(f_number: float, shutter_s: float, ev: float) -> None:
    got = Exposure(shutter_s, 100, f_number).ev100
    report(f"f/{f_number} at {shutter_s:.4g} s, EV", ISO_2720, ev, got, absolute(0.006))


def test_twice_the_iso_asks_for_one_stop_less_light() -> None:
    got = Exposure(1 / 60, 100, 8).ev100 - Exposure(1 / 60, 200, 8).ev100
    report("EV of ISO 100 less EV of ISO 200", ISO_2720, 1, got, absolute(1e-12))


def test_the_sensor_saturates_at_the_luminance_of_the_standard() -> None:
    got = Exposure(1 / 60, 100, 8).saturation_cd_m2
    report("saturation at ISO 100, f/8, 1/60 s, cd/m2", ISO_12232, 4608, got, relative(1e-9))


@pytest.mark.parametrize("exposure", [Exposure(1 / 60, 100, 8), Exposure(0.5, 50, 1.8), Exposure(1 / 1000, 3200, 2.8)])
def test_the_film_gets_seventy_eight_over_s_where_it_saturates(exposure: Exposure) -> None:
    h = 0.65 * exposure.saturation_cd_m2 * exposure.shutter_s / exposure.f_number**2
    report(f"S H at saturation, ISO {exposure.iso:g}", ISO_12232, 78, h * exposure.iso, relative(1e-9))


@pytest.mark.parametrize("ev", [0.0, 9.0, 15.0])
def test_a_reflected_light_meter_puts_what_it_reads_at_an_eighth_of_saturation(ev: float) -> None:
    """12.5 / 100 of the meter against 78 / (.65 x 100) of the sensor: 10.4 per cent."""
    exposure = Exposure(64 / 2**ev, 100, 8)
    metered = 2 ** (ev - 3)  # cd/m2 at ISO 100 with K 12.5
    report(
        f"EV {ev:g}, metered over saturation",
        ISO_12232,
        0.125 / 1.2,
        metered / exposure.saturation_cd_m2,
        relative(1e-9),
    )


@pytest.mark.parametrize("exposure", [Exposure(1 / 60, 100, 8), Exposure(0.5, 50, 1.8), Exposure(1 / 8, 400, 4, 0.5)])
def test_an_18_per_cent_card_gives_the_sensor_ten_over_s(exposure: Exposure) -> None:
    card = 0.18 * exposure.white_cd_m2
    h = 0.65 * card * exposure.shutter_s / (exposure.f_number * (1 + exposure.magnification)) ** 2
    report(f"S H of 18 % of the frame's white, ISO {exposure.iso:g}", SOS, 10, h * exposure.iso, relative(1e-9))


def test_the_sensor_saturates_half_a_stop_above_white() -> None:
    exposure = Exposure(1 / 60, 100, 8)
    got = stops(exposure.saturation_cd_m2 / exposure.white_cd_m2)
    report("saturation over the frame's white, stops", ISO_12232, 0.49, got, absolute(0.005))


@pytest.mark.parametrize(("ev", "lux"), [(0, 2.5), (12, 10240), (15, 81920)])
def test_an_incident_meter_asks_for_its_exposure(ev: int, lux: float) -> None:
    """f/8 is a whole number of stops, so rounding to thirds leaves nothing."""
    exposure = choose_exposure(FULL_FRAME, lux, 0.0, 0.0).exposure
    report(f"EV of {lux:g} lx", INCIDENT, ev, exposure.ev100, absolute(1e-9))
    report(f"EV {ev}, lx", INCIDENT, lux, exposure.incident_lux, relative(1e-9))


@pytest.mark.parametrize(("ev", "luminance"), [(3, 1), (9, 64), (15, 4096)])
def test_a_reflected_reading_counts_as_c_over_k_times_the_lux(ev: int, luminance: float) -> None:
    got = choose_exposure(FULL_FRAME, luminance * 250 / 12.5, 0.0, 0.0).exposure.ev100
    report(f"EV of {luminance:g} cd/m2", INCIDENT, ev, got, absolute(1e-9))


@pytest.mark.parametrize("exposure", [Exposure(1 / 60, 100, 8), Exposure(0.25, 64, 11, 0.63), Exposure(0.1, 50, 1.73)])
def test_an_18_per_cent_card_in_the_light_that_the_meter_asks_for_is_114(exposure: Exposure) -> None:
    """By hand: S H = q .18 C / pi = 9.31, over 55.6 is .1676, which sRGB encodes as 114."""
    card = np.full((1, 1, 3), 0.18 / np.pi * exposure.incident_lux) * D65
    got = float(encode(develop(card.astype(np.float32), exposure, D65))[0, 0, 1])
    report(f"sRGB of an 18 % card by C 250, m {exposure.magnification:g}", f"{SOS}; ISO 2720", 114, got, absolute(0))


@pytest.mark.parametrize(("m", "times"), [(1, 4), (0.5, 2.25)])
def test_a_magnification_takes_the_exposure_of_the_handbooks(m: float, times: float) -> None:
    got = Exposure(1, 100, 8, m).incident_lux / Exposure(1, 100, 8).incident_lux
    report(f"exposure at magnification {m:g}, times", HANDBOOK, times, got, relative(1e-9))


@pytest.mark.parametrize(
    ("extension", "focal", "times"), [(18, 12, 2.25), (12, 6, 4)], ids=["a half of life size", "life size"]
)
def test_an_extension_takes_the_exposure_of_the_course(extension: float, focal: float, times: float) -> None:
    got = (Exposure(1, 100, 1, extension / focal - 1).effective_f_number) ** 2
    report(f"exposure, {focal:g} in lens at {extension:g} in, times", COURSE, times, got, relative(1e-9))


def test_the_size_of_the_image_takes_the_exposure_of_the_course() -> None:
    got = Exposure(1, 100, 1, 8 / 12).effective_f_number ** 2
    report("exposure, 12 in high as 8 in, times", COURSE, 2.8, got, absolute(0.05))


def seen(field_cm: float, distance_cm: float) -> Viewpoint:
    """Return a view of a field so wide, three to two, at a distance."""
    return Viewpoint((0, -distance_cm, 0), (0, 0, 0), field_cm / 1.5 / 2 / distance_cm, 1.5)


@pytest.mark.parametrize(("distance_mm", "times"), [(170, 2), (100, 4)])
def test_a_near_subject_takes_the_exposure_of_the_textbook(distance_mm: float, times: float) -> None:
    m = 50 / (distance_mm - 50)
    setting = lens_setting(FULL_FRAME.body, seen(3.6 / m, distance_mm / 10), distance_mm / 10)
    got = Exposure(1, 100, 1, setting.magnification).effective_f_number ** 2
    report(f"exposure at {distance_mm:g} mm, times", TEXTBOOK, times, got, relative(0.01))
    report(f"focal length at {distance_mm:g} mm, mm", TEXTBOOK, 50, setting.focal_mm, relative(1e-9))


def test_two_fifths_of_life_size_takes_the_exposure_of_the_textbook() -> None:
    got = Exposure(1, 100, 1, 12 / 30).effective_f_number ** 2
    report("exposure, 30 mm high as 12 mm, times", TEXTBOOK, 2, got, absolute(0.05))


def test_a_50_mm_lens_at_half_a_metre() -> None:
    setting = lens_setting(FULL_FRAME.body, seen(32.4, 50), 50)
    report("focal length of a 324 mm field at 500 mm, mm", HANDBOOK, 50, setting.focal_mm, relative(1e-9))
    report("its magnification", HANDBOOK, 0.1111, setting.magnification, absolute(5e-5))
    lost = 2 * stops(Exposure(1, 100, 8, setting.magnification).effective_f_number / 8)
    report("light that it loses, stops", HANDBOOK, 0.304, lost, absolute(5e-4))


def test_four_centimetres_on_full_frame() -> None:
    m = lens_setting(FULL_FRAME.body, seen(4 / 0.7, 4 * 3.9), 4 * 3.9).magnification
    report("4 cm in .7 of 36 mm, stops lost", HANDBOOK, 1.4, 2 * stops(1 + m), absolute(0.05))


def test_middle_grey_is_118() -> None:
    exposure = Exposure(1 / 60, 100, 8)
    grey = np.full((1, 1, 3), 0.18) * D65 * exposure.white_cd_m2
    for channel, got in zip("RGB", encode(develop(grey.astype(np.float32), exposure, D65))[0, 0], strict=True):
        report(f"18 % grey in sRGB, {channel}", SRGB, 118, float(got), absolute(0))


@pytest.mark.parametrize(
    ("linear", "code"), [(0, 0), (0.0031308, 10), (0.2126, 127), (0.5, 188), (1, 255), (4, 255), (-1, 0)]
)
def test_the_tone_curve_has_the_codes_of_the_standard(linear: float, code: int) -> None:
    got = int(encode(np.full((1, 1, 3), linear, np.float32))[0, 0, 1])
    report(f"sRGB code of {linear:g}", SRGB, code, got, absolute(0))


def test_every_code_is_its_own_after_decoding() -> None:
    codes = np.arange(256)
    again = encode(np.asarray(srgb_decode(codes / 255.0), dtype=np.float32).reshape(1, -1, 1))
    report("sRGB codes that come back as another", SRGB, 0, float((again.ravel() != codes).sum()), absolute(0))


@pytest.mark.parametrize(
    ("name", "from_kelvin", "to_kelvin", "shift"),
    [("80A", 3200, 5500, -131), ("85B", 5500, 3200, 131), ("81A", 3400, 3200, 18), ("82A", 3000, 3200, -21)],
)
def test_a_conversion_filter_shifts_by_its_mireds(
    name: str, from_kelvin: float, to_kelvin: float, shift: float
) -> None:
    got = mired(to_kelvin) - mired(from_kelvin)
    report(f"{name}, {from_kelvin} K to {to_kelvin} K, mired", FILTERS, shift, got, absolute(1))
