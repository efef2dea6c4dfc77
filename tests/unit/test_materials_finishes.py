"""Finishes: what they hold, what a topcoat makes of them, the names of the trade, the energy given back."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.colours import reflectance_from_hex
from materials.energy import body_scale
from materials.finishes import Board, Finish, NamedFinish, named_boards, named_finishes
from materials.gloss import gloss_units, roughness_for

BRASS = reflectance_from_hex("#b5833c")


def test_equal_finishes_are_equal_and_hash_alike() -> None:
    one, other = Finish.plastic(BRASS, 27), Finish.plastic(BRASS.copy(), 27.0)
    assert one == other
    assert hash(one) == hash(other)
    assert len({one, other}) == 1


@pytest.mark.parametrize(
    "different",
    [
        Finish("plastic", BRASS * 0.999, 0.1),
        Finish("metal", BRASS, 0.1),
        Finish("plastic", BRASS, 0.2),
        Finish("plastic", BRASS, 0.1, 1.6),
    ],
)
def test_a_finish_differs_by_any_of_its_values(different: Finish) -> None:
    assert different != Finish("plastic", BRASS, 0.1)


def test_a_finish_is_no_other_kind_of_thing() -> None:
    assert Finish.board(0.5) != 0.5


def test_a_finish_keeps_its_own_base() -> None:
    mine = np.full(351, 0.5)
    finish = Finish.board(mine)
    mine[:] = 0.1
    assert np.array_equal(finish.base, np.full(351, 0.5))
    with pytest.raises(ValueError, match="read-only"):
        finish.base[0] = 1
    with pytest.raises(FrozenInstanceError):
        finish.roughness = 1.0  # type: ignore[misc]


def test_a_finish_crosses_to_another_process_unchanged() -> None:
    finish = Finish.metal(BRASS, 0.2)
    assert pickle.loads(pickle.dumps(finish)) == finish


def test_a_board_is_flat_and_lambertian() -> None:
    board = Finish.board(0.18)
    assert board.kind == "matt"
    assert board.roughness == 0
    assert np.array_equal(board.body, np.full(351, 0.18))


def test_plastic_reads_the_gloss_that_it_was_asked_for() -> None:
    assert gloss_units(Finish.plastic(BRASS, 27).roughness) == pytest.approx(27, abs=1e-6)


@given(st.floats(0, 1))
def test_the_body_of_plastic_carries_the_energy_that_its_surface_loses(roughness: float) -> None:
    finish = Finish("plastic", BRASS, roughness)
    assert np.array_equal(finish.body, BRASS * body_scale(roughness))
    assert finish.body[0] > BRASS[0]


def test_metal_is_handed_over_as_it_is() -> None:
    assert np.array_equal(Finish.metal(BRASS, 0.2).body, BRASS)


def test_a_topcoat_is_the_new_surface_of_paint() -> None:
    assert Finish.plastic(BRASS, 80).under_topcoat(5) == Finish.plastic(BRASS, 5)
    assert Finish.plastic(BRASS, 5).under_topcoat(80) == Finish.plastic(BRASS, 80)


def test_a_topcoat_makes_a_plastic_of_board() -> None:
    assert Finish.board(0.5).under_topcoat(27) == Finish.plastic(0.5, 27)


def test_a_topcoat_dulls_metal_and_never_polishes_it() -> None:
    matt_coat = roughness_for(5.0)
    assert Finish.metal(BRASS, 0.05).under_topcoat(5) == Finish.metal(BRASS, matt_coat)
    assert Finish.metal(BRASS, 0.5).under_topcoat(80) == Finish.metal(BRASS, 0.5)


@pytest.mark.parametrize("base", [-0.01, 1.01, float("nan")])
def test_a_reflectance_lies_between_0_and_1(base: float) -> None:
    for make in (Finish.board, lambda b: Finish.plastic(b, 5), lambda b: Finish.metal(b, 0.1)):
        with pytest.raises(ValueError, match="reflectance lies between 0 and 1"):
            make(base)


def test_a_reflectance_is_on_the_grid() -> None:
    with pytest.raises(ValueError, match=r"one number or 351 of them, not of shape \(3,\)"):
        Finish.board(np.array([0.1, 0.2, 0.3]))


def test_a_finish_refuses_values_out_of_range() -> None:
    with pytest.raises(ValueError, match="roughness lies between 0 and 1, not 2"):
        Finish("metal", BRASS, 2)
    with pytest.raises(ValueError, match="index lies above 1"):
        Finish("plastic", BRASS, 0.1, 1.0)
    with pytest.raises(ValueError, match="matt, plastic or metal, not 'glass'"):
        Finish("glass", BRASS)  # type: ignore[arg-type]


def test_the_named_finishes_fall_in_gloss_and_say_where_they_are_from() -> None:
    finishes = named_finishes()
    assert {name: finish.gloss_units for name, finish in finishes.items()} == {
        "gloss": 80,
        "semi-gloss": 50,
        "satin": 27,
        "matt": 5,
    }
    for finish in finishes.values():
        assert isinstance(finish, NamedFinish)
        assert finish.source.startswith("MPI level")
        assert finish.description


def test_the_named_boards_give_finishes_and_say_where_they_are_from() -> None:
    boards = named_boards()
    wanted = {"white paper", "black cloth", "black velvet", "grey card"}
    wanted |= {f"{shade} poster board" for shade in ("white", "grey", "black")}
    assert wanted <= boards.keys()
    for board in boards.values():
        assert isinstance(board, Board)
        assert board.source
        assert board.description
        assert board.finish == Finish.board(board.reflectance)


def test_changing_a_returned_table_changes_nothing_for_others() -> None:
    named_boards().clear()
    named_finishes().clear()
    assert named_boards()["grey card"].reflectance == 0.18
    assert named_finishes()["matt"].gloss_units == 5


@pytest.mark.parametrize(
    ("roughness", "scale"),
    [(0.0, 1.025), (0.0149, 1.025), (0.0738, 1.078), (0.0987, 1.115), (0.1882, 1.272), (1.0, 1.272)],
)
def test_the_energy_given_back_follows_the_table_and_stops_at_its_ends(roughness: float, scale: float) -> None:
    assert body_scale(roughness) == pytest.approx(scale, abs=1e-12)


@pytest.mark.parametrize("roughness", [-0.1, 1.1, float("nan")])
def test_the_energy_of_no_roughness_is_refused(roughness: float) -> None:
    with pytest.raises(ValueError, match="roughness lies between 0 and 1"):
        body_scale(roughness)
