"""Where lamps send their light: fluxes, grids and snoots against closed forms, and a file against another reader."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from scenes.lamps.distribution import Distribution
from scenes.lamps.files.photometric import read_photometry
from scenes.lamps.modifiers import Tube, snoot
from tests.support.report import relative, report

DATA = Path(__file__).parents[2] / "data"
HOWELL_DISCS = "Howell, Catalog of Radiation Configuration Factors, C-41"
ZONES = (0.0955, 0.2835, 0.4629, 0.6282, 0.7744, 0.8972, 0.9926, 1.0579, 1.0911)


def equal_discs(length: float) -> float:
    """Return the factor between coaxial discs of diameter 1, that far apart."""
    radius = 0.5 / length
    x = 1 + (1 + radius**2) / radius**2
    return float((x - np.sqrt(x**2 - 4)) / 2)


def test_a_lambertian_face_sends_pi_times_its_intensity() -> None:
    got = Distribution.lambertian().flux()
    report("Lambertian face of 1 cd, lm", "flux = pi I0, in closed form", np.pi, got, relative(1e-6))


def test_an_even_ball_sends_four_pi_times_its_intensity() -> None:
    got = Distribution.uniform().flux()
    report("even ball of 1 cd, lm", "flux = 4 pi I0, in closed form", 4 * np.pi, got, relative(1e-12))


@pytest.mark.parametrize("beam_deg", [2, 10, 25, 60, 120, 170])
def test_a_beam_sends_its_flux(beam_deg: float) -> None:
    power = np.log(0.5) / np.log(np.cos(np.radians(beam_deg / 2)))
    expected = 2 * np.pi / (power + 1)
    source = "flux = 2 pi I0 / (m + 1) of cos^m, in closed form"
    report(
        f"beam of {beam_deg:g} degrees, 1 cd, lm", source, expected, Distribution.beam(beam_deg).flux(), relative(5e-4)
    )


@pytest.mark.parametrize(("zone", "steradians"), list(enumerate(ZONES)))
def test_zones_have_their_zonal_constants(zone: int, steradians: float) -> None:
    light = Distribution.uniform()
    got = light.flux(10 * zone + 10) - light.flux(10 * zone)
    source = "zonal constants, IES Lighting Handbook (memory)"
    report(f"zone of {10 * zone} to {10 * zone + 10} degrees, sr", source, steradians, got, relative(5e-4))


@pytest.mark.parametrize("length", [0.1, 0.5, 1, 3, 10])
def test_what_leaves_a_black_tube_is_the_factor_of_its_two_ends(length: float) -> None:
    tube = Tube(length)
    edge = np.radians(tube.cut_off_deg)
    got = quad(lambda t: float(tube(np.degrees(t))) * np.sin(2 * t), 0, edge, epsabs=1e-13, epsrel=1e-12)[0]
    case = f"share out of a tube {length:g} diameters long, quadrature"
    report(case, HOWELL_DISCS, equal_discs(length), got, relative(1e-8))


@pytest.mark.parametrize("length", [0.5, 1, 3])
def test_a_face_in_a_snoot_keeps_that_share_of_its_lumens(length: float) -> None:
    face = Distribution.lambertian()
    got = face.times(snoot(5 * length, 5)).flux() / face.flux()
    case = f"share out of a snoot {length:g} diameters long, as sampled"
    report(case, HOWELL_DISCS, equal_discs(length), got, relative(1e-4))


def test_a_file_of_another_makers_hand_adds_up_as_another_reader_adds_it() -> None:
    got = read_photometry(DATA / "downlight.ies").lumens
    source = "photompy 0.3.1, zonal sum between its 2.5 degree steps"
    report("intensities of tests/data/downlight.ies, lm", source, 903.4997, got, relative(2e-3))
