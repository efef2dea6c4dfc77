"""The lattice of places that are tried: the wanted one first, then those nearest to it in angle and distance."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scenes.arrangement.reading import fill_model
from scenes.geometry import direction_round, round_and_rise
from scenes.setups.placement.lattice import Candidates, Shape, lattice_about, lattice_all_round
from scenes.setups.setup import SetupLamp
from tests.unit.scenes.setups.test_place import STAGE

SMALL = Shape(((False, (5.0, 3.2)), (True, (3.2, 5.0))))
BULB = Shape(((False, (6.0, 6.0)),), is_ball=True)


def wanted(**keys: Any) -> SetupLamp:
    return fill_model({"role": "key", **keys}, SetupLamp, "test")


def azimuths(candidates: Candidates) -> Any:
    return [round_and_rise(at - np.asarray(STAGE.hero_cm))[0] for at in candidates.bodies.at_cm]


@settings(max_examples=40, deadline=None)
@given(st.floats(-180, 180), st.floats(-30, 89), st.floats(1.5, 4), st.floats(-90, 90), st.booleans())
def test_the_first_is_the_wanted_place_itself(
    round_deg: float, rise_deg: float, distance: float, facing_deg: float, from_camera: bool
) -> None:
    turned = replace(STAGE, facing_deg=facing_deg)
    want = wanted(round_deg=round_deg, rise_deg=rise_deg, distance=distance, from_camera=from_camera)
    first = lattice_about(want, SMALL, turned).place(0)
    azimuth = round_deg + (0 if from_camera else facing_deg)
    expected = np.asarray(STAGE.hero_cm) + direction_round(azimuth, rise_deg) * distance * STAGE.subject.size_cm
    np.testing.assert_allclose(first.at_cm, expected, atol=0.051)
    np.testing.assert_allclose(first.aim_cm, STAGE.hero_cm, atol=0.051)
    assert not first.upright


def test_the_lattice_has_17_bearings_15_rises_8_distances_and_both_sides_of_a_panel() -> None:
    want = wanted(round_deg=20, rise_deg=30, distance=2.5)
    assert len(lattice_about(want, SMALL, STAGE).bodies) == 17 * 15 * 8 * 2
    assert len(lattice_about(want, BULB, STAGE).bodies) == 17 * 15 * 8


def test_beside_a_small_subject_the_lattice_reaches_out_until_a_lamp_is_clear_of_it() -> None:
    near = lattice_about(wanted(distance=0.1), Shape(((False, (40.0, 30.0)),)), STAGE)
    away = np.linalg.norm(near.bodies.at_cm - np.asarray(STAGE.hero_cm), axis=1)
    assert away.max() >= 50 + 3


def test_the_side_that_a_setup_prefers_comes_first_and_the_other_before_another_direction() -> None:
    near = lattice_about(wanted(distance=3), SMALL, STAGE)
    turned = int(np.argmax(near.upright))
    assert (near.place(0).upright, near.place(turned).at_cm) == (False, near.place(0).at_cm)
    assert near.off_deg[:turned].max() < 5


@pytest.mark.parametrize("lattice", [lattice_about, lattice_all_round])
@pytest.mark.parametrize("round_deg", [-140.0, -35.0, 60.0])
def test_mirrored_places_come_in_the_same_order(lattice: Any, round_deg: float) -> None:
    centred = replace(STAGE, hero_cm=(0.0, 0.0, 14.0))
    one, other = (lattice(wanted(round_deg=sign * round_deg, rise_deg=20), SMALL, centred) for sign in (1, -1))
    mirrored = one.bodies.at_cm * [-1, 1, 1]
    np.testing.assert_allclose(mirrored, other.bodies.at_cm, atol=1e-9)


def test_the_coarse_lattice_has_all_directions_the_wanted_one_among_them() -> None:
    want = wanted(round_deg=37, rise_deg=22, distance=2)
    everywhere = lattice_all_round(want, SMALL, STAGE)
    assert everywhere.off_deg.min() == pytest.approx(0, abs=1e-6)
    assert everywhere.off_deg.max() > 150
    assert np.ptp(azimuths(everywhere)) > 340


def test_a_tilt_raises_the_aim_where_it_stands() -> None:
    straight = lattice_about(wanted(round_deg=30, rise_deg=40, distance=3), SMALL, STAGE).place(0)
    for tilt_deg, rise in ((25, -15), (-30, -70), (-90, -90)):
        tilted = lattice_about(wanted(round_deg=30, rise_deg=40, distance=3, tilt_deg=tilt_deg), SMALL, STAGE).place(0)
        assert tilted.at_cm == straight.at_cm
        assert round_and_rise(tilted.facing)[1] == pytest.approx(rise, abs=0.5)
