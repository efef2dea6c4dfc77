"""Exposure and tone against published numbers."""

from __future__ import annotations

import numpy as np
import pytest

from materials.colour.srgb import srgb_decode
from render.camera.development import develop, encode
from render.camera.exposure import Exposure
from scenes.units import mired
from tests.support.report import absolute, relative, report

ISO_12232 = "ISO 12232: H = q L t / N2, q .65, saturation at S H = 78"
ISO_2720 = "ISO 2720: EV = log2(N2 / t) at ISO 100, K 12.5"
SRGB = "IEC 61966-2-1"
FILTERS = "mired shift of conversion filters, widely published"
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
