"""Intensity by direction: what lies between directions, how much light it is, and tables of it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import ArrayLike, NDArray

from scenes.lamps.distribution import Distribution

seeds = st.integers(0, 2**32 - 1)
to_degs = st.floats(0, 180)


def random_distribution(seed: int, angles_of: int | None = None) -> Distribution:
    """Return intensities of `seed` at tenths of degrees of `angles_of`, or of itself; half have one column."""
    angles, values = np.random.default_rng(seed if angles_of is None else angles_of), np.random.default_rng(seed)
    polar = np.unique(np.concatenate([[0], angles.integers(1, 1801, angles.integers(1, 12)) / 10]))
    inner = angles.integers(1, 3600, angles.integers(0, 6)) / 10
    turn = np.zeros(1) if angles.random() < 0.5 else np.unique(np.concatenate([[0, 360], inner]))
    intensity = values.uniform(0, 100, (len(polar), len(turn)))
    intensity[:, -1] = intensity[:, 0]
    return Distribution(polar, turn, intensity)


def summed(light: Distribution, to_deg: float) -> float:
    """Return the flux by Gauss's rule within each cell, (6 by 6 points)."""
    nodes, weights = np.polynomial.legendre.leggauss(6)

    def rule(edges: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        half = np.diff(edges)[:, None] / 2
        return (edges[:-1, None] + half * (1 + nodes)).ravel(), (half * weights).ravel()

    polar, down = rule(np.append(light.polar_deg[light.polar_deg < to_deg], min(to_deg, light.polar_deg[-1])))
    turn, across = rule(light.turn_deg if len(light.turn_deg) > 1 else np.array([0.0, 360.0]))
    values = light.at(polar[:, None], turn) * np.sin(np.radians(polar))[:, None]
    return float(np.radians(down) @ values @ np.radians(across))


@given(seeds, to_degs)
def test_the_flux_is_the_integral_of_what_lies_between_the_directions(seed: int, to_deg: float) -> None:
    light = random_distribution(seed)
    assert light.flux(to_deg) == pytest.approx(summed(light, to_deg), rel=1e-6, abs=1e-9)


@given(seeds, seeds, st.floats(0, 1e6), to_degs)
def test_the_flux_is_linear_in_the_intensities(seed: int, other: int, scale: float, to_deg: float) -> None:
    one, two = random_distribution(seed, seed), random_distribution(other, seed)
    mixed = Distribution(one.polar_deg, one.turn_deg, one.intensity + scale * two.intensity)
    assert mixed.flux(to_deg) == pytest.approx(one.flux(to_deg) + scale * two.flux(to_deg), rel=1e-12, abs=1e-12)


@given(seeds)
def test_intensities_are_those_given_at_their_directions(seed: int) -> None:
    light = random_distribution(seed)
    np.testing.assert_allclose(light.at(light.polar_deg[:, None], light.turn_deg), light.intensity, rtol=1e-12)


TWISTED = Distribution(np.array([0.0, 90]), np.array([0.0, 90, 360]), np.array([[1.0, 1, 1], [2, 4, 2]]))


@pytest.mark.parametrize(
    ("polar", "turn", "intensity"),
    [(45, 0, 1.5), (45, 45, 2.0), (90, 45, 3.0), (90, 225, 3.0), (90, -135, 3.0), (90, 720, 2.0), (90.001, 0, 0.0)],
)
def test_intensity_between_directions_is_on_straight_lines_and_dark_beyond_the_last(
    polar: float, turn: float, intensity: float
) -> None:
    assert TWISTED.at(polar, turn) == pytest.approx(intensity)


@given(seeds, st.floats(1e-3, 1e6), st.floats(1, 180))
def test_a_table_holds_the_flux_asked_for_between_its_own_entries(seed: int, total: float, to_deg: float) -> None:
    light = random_distribution(seed)
    table = light.table(total, to_deg, rows=37, columns=9)
    read = Distribution(np.linspace(0, 180, 37), np.linspace(0, 360, 9) if table.shape[1] > 1 else np.zeros(1), table)
    assert read.flux(to_deg) == pytest.approx(total, rel=1e-12)


def test_a_table_is_in_proportion_to_the_intensities() -> None:
    polar, turn = np.linspace(0, 180, 361)[:, None], np.linspace(0, 360, 73)
    table, intensity = TWISTED.table(), TWISTED.at(polar, turn)
    np.testing.assert_allclose(table / table[0, 0], intensity, rtol=1e-12)


def test_a_table_of_a_round_beam_has_one_column() -> None:
    assert Distribution.beam(40).table().shape == (361, 1)


def test_a_table_of_light_from_the_back_alone_is_refused() -> None:
    back = Distribution(np.array([0.0, 100, 180]), np.zeros(1), np.array([[0.0], [0], [1]]))
    with pytest.raises(ValueError, match="no light up to 90 degrees"):
        back.table(to_deg=90)


@pytest.mark.parametrize(
    ("light", "share"), [(Distribution.uniform(), 0.5), (Distribution.lambertian(), 1), (Distribution.beam(60), 1)]
)
def test_the_share_to_the_front(light: Distribution, share: float) -> None:
    assert light.front_share() == pytest.approx(share, rel=1e-12)


@pytest.mark.parametrize("beam_deg", [2, 10, 33.3, 90, 120, 170])
def test_a_beam_has_half_its_peak_at_half_its_angle(beam_deg: float) -> None:
    assert Distribution.beam(beam_deg).at(beam_deg / 2) == pytest.approx(0.5, rel=1e-4)


@pytest.mark.parametrize("beam_deg", [1.9, 171, np.nan, np.inf, -10])
def test_a_beam_of_another_angle_is_refused(beam_deg: float) -> None:
    with pytest.raises(ValueError, match="should be one of 2 to 170"):
        Distribution.beam(beam_deg)


@given(seeds, st.floats(0, 1))
def test_a_grey_filter_takes_its_part_of_the_flux(seed: int, part: float) -> None:
    light = random_distribution(seed)
    through = light.times(lambda polar: np.full(polar.shape, 1 - part / 2))
    assert through.flux() == pytest.approx(light.flux() * (1 - part / 2), rel=1e-6)


def test_a_lid_is_refused() -> None:
    with pytest.raises(ValueError, match="shines nowhere"):
        Distribution.uniform().times(np.zeros_like)


@pytest.mark.parametrize(
    ("polar", "turn", "intensity", "sentence"),
    [
        ([10, 90], [0], [[1], [1]], "the polar angles should rise from 0"),
        ([0, 90, 90], [0], [[1], [1], [1]], "the polar angles should rise from 0"),
        ([0], [0], [[1]], "the polar angles should be two or more"),
        ([0, 181], [0], [[1], [1]], "end at 180 degrees at most"),
        ([0, np.nan], [0], [[1], [1]], "the polar angles are no list of numbers"),
        ([], [0], np.ones((0, 1)), "the polar angles are no list of numbers"),
        ([0, 90], [0, 180], [[1, 1], [1, 1]], "the turn angles should end at 360 degrees"),
        ([0, 90], [0, 360], [[1], [1]], r"has the shape \(2, 1\), its angles ask for \(2, 2\)"),
        ([0, 90], [0, 360], [[1, 2], [1, 1]], "at a turn of 0 and of 360 degrees differ"),
        ([0, 90], [0], [[1], [-1]], "negative or no number"),
        ([0, 90], [0], [[1], [np.inf]], "negative or no number"),
        ([0, 90], [0], [[0], [0]], "shines nowhere"),
        ([0, 90], [0], [[1e308], [1e308]], "too large"),
    ],
)
def test_what_is_no_distribution_is_refused(
    polar: ArrayLike, turn: ArrayLike, intensity: ArrayLike, sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        Distribution(np.array(polar), np.array(turn), np.array(intensity))


def test_a_distribution_keeps_its_own_arrays_and_nobody_writes_to_them() -> None:
    given_intensity = np.ones((2, 1))
    light = Distribution(np.array([0.0, 90]), np.zeros(1), given_intensity)
    given_intensity[:] = 7
    assert light.intensity.max() == 1
    with pytest.raises(ValueError, match="read-only"):
        light.intensity[:] = 7
