"""Dimmers solved from the illuminance by each lamp undimmed, and ratios that a lamp cannot reach."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from render.readings.dimming import solve_dimmer, with_sheet_dimmed, with_solved_dimmers
from render.readings.sheet_dimming import LEAST_OTHERS, SheetLight
from scenes.setups.placed import PlacedSetup
from scenes.units import stops
from tests.unit.scenes.setups.test_placed import PANEL, placed_by_hand

SPARE = {**PANEL, "name": "spare", "at_cm": [25, -30, 40]}


def setup(wanted: float | None = 1.0, key_dimmer: float = 1.0, **fill: Any) -> PlacedSetup:
    """Return a key at a dimmer, and a fill that should be `wanted` stops under it."""
    placed = placed_by_hand({**PANEL, "dimmer": key_dimmer}, {**SPARE, **fill})
    key, second = placed.lamps
    return replace(placed, lamps=(key, replace(second, role="fill", stops_under_key=wanted)), shortfalls=("known",))


@given(wanted=st.floats(0, 8), key_dimmer=st.floats(0.01, 1), key=st.floats(1, 1e5), over=st.floats(1, 1e4))
def test_a_lamp_bright_enough_gives_the_hero_the_stops_asked_for(
    wanted: float, key_dimmer: float, key: float, over: float
) -> None:
    fill = over * key
    solved = with_solved_dimmers(setup(wanted, key_dimmer), [key, fill])
    first, second = solved.lamps
    assert stops(first.dimmer * key / (second.dimmer * fill)) == pytest.approx(wanted, abs=1e-9)
    assert first.dimmer == key_dimmer
    assert second.stops_under_key is None
    assert solved.shortfalls == ("known",)


def test_a_lamp_too_weak_is_at_full_and_it_is_said() -> None:
    solved = with_solved_dimmers(setup(1), [400, 50])
    assert solved.lamps[1].dimmer == 1
    assert solved.shortfalls[1:] == ("wants the fill 1 stops under the key: spare is too weak and is 3.0 under",)


def test_a_lamp_that_should_equal_another_says_so() -> None:
    solved = with_solved_dimmers(setup(0), [400, 50])
    assert solved.shortfalls[1:] == ("wants the fill as bright as the key: spare is too weak and is 3.0 under",)


def test_a_lamp_that_does_not_dim_stays_as_it_is_and_it_is_said() -> None:
    solved = with_solved_dimmers(setup(2, dimmable=False), [100, 200])
    assert solved.lamps[1].dimmer == 1
    assert solved.shortfalls[1:] == ("wants the fill 2 stops under the key: spare does not dim and is 1.0 over",)


def test_a_lamp_that_does_not_dim_and_is_too_weak_is_told_as_too_weak() -> None:
    solved = with_solved_dimmers(setup(1, dimmable=False), [400, 100])
    assert solved.shortfalls[1:] == ("wants the fill 1 stops under the key: spare is too weak and is 2.0 under",)


def test_a_lamp_that_does_not_dim_and_happens_to_be_right_lacks_nothing() -> None:
    assert with_solved_dimmers(setup(2, dimmable=False), [400, 104]).shortfalls == ("known",)


@pytest.mark.parametrize(("short_by", "said"), [(0.09, 0), (0.11, 1)])
def test_less_than_a_tenth_of_a_stop_is_not_said(short_by: float, said: int) -> None:
    assert len(with_solved_dimmers(setup(1), [100, 50 * 2**-short_by]).shortfalls) == 1 + said


def test_without_a_wish_the_dimmer_is_kept() -> None:
    assert with_solved_dimmers(setup(None, dimmer=0.3), [100, 100]).lamps[1].dimmer == 0.3


def test_a_dim_key_asks_for_a_dimmer_fill() -> None:
    assert with_solved_dimmers(setup(1, key_dimmer=0.25), [400, 400]).lamps[1].dimmer == pytest.approx(0.125)


def test_a_key_that_does_not_dim_counts_as_it_is() -> None:
    placed = setup(1)
    key, fill = placed.lamps
    fixed = replace(key, lamp=replace(key.lamp, model=key.lamp.model.model_copy(update={"dimmable": False})))
    assert with_solved_dimmers(replace(placed, lamps=(fixed, fill)), [100, 100]).lamps[1].dimmer == pytest.approx(0.5)


@pytest.mark.parametrize("full_lux", [(100.0, 0.0), (0.0, 100.0)])
def test_where_one_of_the_two_gives_nothing_no_stops_are_told(full_lux: tuple[float, float]) -> None:
    assert with_solved_dimmers(setup(1), full_lux).shortfalls == ("known",)


@given(st.floats(0, 6), st.floats(1, 1e5), st.floats(1, 1e5))
def test_a_solved_dimmer_puts_the_fill_as_far_under_the_key_as_was_wanted_or_is_full(
    stops: float, key: float, full: float
) -> None:
    dimmer = solve_dimmer(stops, key, full)
    assert 0 < dimmer <= 1
    wanted = key / 2**stops
    assert dimmer * full == pytest.approx(min(wanted, full))


def test_a_fill_that_gives_no_light_is_left_full() -> None:
    assert solve_dimmer(2, 1000, 0) == 1


def test_a_lamp_off_as_key_turns_its_fill_off() -> None:
    assert solve_dimmer(2, 0, 500) == 0


def test_ratios_count_from_the_key_and_without_one_from_the_first_lamp() -> None:
    placed = setup(1)
    key, fill = placed.lamps
    assert replace(placed, lamps=(fill, key)).reference == 1
    rim = replace(placed, lamps=(replace(key, role="rim"), fill))
    assert rim.reference == 0
    assert with_solved_dimmers(rim, [400, 50]).shortfalls[1:] == (
        "wants the fill 1 stops under the rim: spare is too weak and is 3.0 under",
    )


def on_sheet(**lamp: Any) -> PlacedSetup:
    """Return a key, and a lamp that should make the sheet 1.1 times white."""
    placed = setup(None, **lamp)
    key, second = placed.lamps
    return replace(placed, lamps=(key, replace(second, sheet_over_white=1.1)))


def sheet_light(sheet: float, others: float = 20.0) -> SheetLight:
    """Return the light on a sheet, cd/m2, where the key asks for a white of 100 and the sheet's lamp for none."""
    return SheetLight(np.full(5, sheet), np.full(5, others), np.zeros(5), 0.0, 100.0, 0.0)


def test_the_lamp_on_the_sheet_is_dimmed_until_the_sheet_is_as_white_as_wanted() -> None:
    solved = with_sheet_dimmed(on_sheet(), sheet_light(180.0))
    assert [lamp.dimmer for lamp in solved.lamps] == [1.0, pytest.approx(0.5, abs=1e-5)]  # 20 + .5 x 180 = 110
    assert [lamp.sheet_over_white for lamp in solved.lamps] == [None, None]
    assert solved.shortfalls == ("known",)


def test_where_the_lamp_on_the_sheet_is_too_weak_the_key_is_dimmed() -> None:
    solved = with_sheet_dimmed(on_sheet(), sheet_light(45.0))
    assert [lamp.dimmer for lamp in solved.lamps] == [pytest.approx(0.5, abs=1e-5), 1.0]  # 10 + 45 = 1.1 x 50
    assert solved.reaches_ratios
    assert solved.shortfalls == ("known",)


def test_a_sheet_that_not_even_a_dim_key_makes_white_is_said() -> None:
    solved = with_sheet_dimmed(on_sheet(), sheet_light(1.0, others=0.0))
    assert solved.lamps[0].dimmer == LEAST_OTHERS
    got = 1.0 / (100 * LEAST_OTHERS)
    assert not solved.reaches_ratios
    assert solved.shortfalls[1:] == (
        f"wants its sheet 1.1 times white: spare is too weak and it is {stops(1.1 / got):.1f} stops darker",
    )


def test_a_lamp_on_the_sheet_that_does_not_dim_stays_as_it_is() -> None:
    solved = with_sheet_dimmed(on_sheet(dimmable=False), sheet_light(180.0))
    assert [lamp.dimmer for lamp in solved.lamps] == [1.0, 1.0]


def test_a_sheet_that_the_key_alone_makes_white_needs_no_lamp() -> None:
    assert with_sheet_dimmed(on_sheet(), sheet_light(180.0, others=120.0)).lamps[1].dimmer == 0
