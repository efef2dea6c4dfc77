"""Finishes: what they hold, what a topcoat makes of them, the names of the trade, the energy given back."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.colour.upsampling import reflectance_from_hex
from materials.surface.boards import Board, board_finish, named_boards
from materials.surface.conductor import NO_DIP, hemispherical_reflectance
from materials.surface.finish import Finish
from materials.surface.glossmeter import gloss_units, roughness_from_gloss
from materials.surface.named_finishes import NamedFinish, named_finishes
from materials.surface.saunderson import coated_reflectance

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
    assert np.array_equal(board.base, np.full(351, 0.18))
    assert not board.secondary_tint.any()


@pytest.mark.parametrize("base", [0.0, 0.18, 0.9])
@pytest.mark.parametrize("gloss", [5, 27, 80])
def test_plastic_reads_the_gloss_that_it_was_asked_for_with_its_own_body(base: float, gloss: float) -> None:
    finish = Finish.plastic(base, gloss)
    assert gloss_units(finish.roughness, finish.index, base=base) == pytest.approx(gloss, abs=1e-6)


@given(st.floats(0, 1))
def test_plastic_leaves_its_body_alone_and_has_no_other_tint(roughness: float) -> None:
    finish = Finish("plastic", BRASS, roughness)
    assert np.array_equal(finish.base, BRASS)
    assert not finish.secondary_tint.any()


@given(st.floats(0, 1))
def test_light_that_met_several_facets_of_a_metal_is_deeper_in_colour(roughness: float) -> None:
    late = Finish.metal(BRASS, roughness).secondary_tint
    risen = hemispherical_reflectance(BRASS, NO_DIP)  # facets are met at every angle
    assert np.all((late > 0) & (late <= risen))
    assert late[70] / late[270] < BRASS[70] / BRASS[270]  # 450 over 650 nm


def test_a_diffuser_sends_light_to_both_its_sides_and_no_more_than_arrives() -> None:
    sheet = Finish.diffuser(0.3, 0.6)
    assert (sheet.base[0], sheet.secondary_tint[0]) == (0.3, 0.6)
    assert sheet != Finish.diffuser(0.3, 0.5)
    with pytest.raises(ValueError, match="more than arrives"):
        Finish.diffuser(0.5, 0.6)
    with pytest.raises(ValueError, match="passes through a diffuser, not through matt"):
        Finish("matt", np.full(351, 0.3), transmittance=np.full(351, 0.3))


@pytest.mark.parametrize("before", [5, 80])
def test_a_topcoat_is_the_new_surface_of_paint(before: float) -> None:
    coated = Finish.plastic(BRASS, before).under_topcoat(27)
    assert (coated.kind, coated.roughness) == ("plastic", roughness_from_gloss(27.0))
    assert (coated.base == BRASS).all()


def test_a_topcoat_wets_what_is_bare() -> None:
    base = coated_reflectance(np.full(351, 0.5))
    assert Finish.board(0.5).under_topcoat(27) == Finish("plastic", base, roughness_from_gloss(27.0))


def test_a_metal_under_a_topcoat_is_a_sheen_under_the_coats_own() -> None:
    coated = Finish.metal(BRASS, 0.05).under_topcoat(80)
    assert (coated.kind, coated.flake_fraction, coated.roughness) == ("plastic", 1.0, roughness_from_gloss(80.0))
    assert (coated.base == BRASS).all()
    assert coated.body_roughness == pytest.approx(0.075, abs=1e-3)  # seen through the index, 1.5 times as wide


@pytest.mark.parametrize("roughness", [0.02, 0.1, 0.3])
def test_the_matter_a_coat_the_wider_is_the_metal_under_it(roughness: float) -> None:
    metal = Finish.metal(BRASS, roughness)
    widths = [metal.body_roughness, *(metal.under_topcoat(gloss).body_roughness for gloss in (85, 50, 20, 5))]
    assert widths == sorted(widths)
    assert widths[-1] > widths[1]


@pytest.mark.parametrize("index", [1.49, 1.59])
def test_a_clear_pane_passes_its_figure_with_the_reflection_of_both_surfaces(index: float) -> None:
    reflected = ((index - 1) / (index + 1)) ** 2
    inside = Finish.clear(BRASS, index).base ** 2
    np.testing.assert_allclose(inside * (1 - reflected) ** 2 / (1 - reflected**2), BRASS)


def test_no_pane_is_clearer_than_its_surfaces_let_it() -> None:
    assert (Finish.clear(1.0).base == 1.0).all()


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
    with pytest.raises(ValueError, match="matt, plastic, metal, diffuser, clear, not 'glass'"):
        Finish("glass", BRASS)  # type: ignore[arg-type]


def test_the_named_finishes_fall_in_gloss_inside_their_range_and_say_where_they_are_from() -> None:
    finishes = named_finishes()
    named = {"gloss": 80, "semi-gloss": 50, "satin": 27, "matt": 5}
    assert named.items() <= {name: finish.gloss_units for name, finish in finishes.items()}.items()
    shine = [finish.gloss_units for finish in finishes.values()]
    assert shine == sorted(shine, reverse=True)
    for finish in finishes.values():
        assert isinstance(finish, NamedFinish)
        assert finish.low <= finish.gloss_units <= finish.high
        assert "MPI level" in finish.source
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
        assert min(board.usual_cm) > 0
        assert board.finish.base[0] == board.reflectance
        assert board.finish.transmittance[0] == board.transmittance


@pytest.mark.parametrize(
    ("board", "finish"),
    [
        (0.3, Finish.board(0.3)),
        ("white paper", Finish.board(0.85)),
        ("silver foil", Finish.metal(0.85, 0.25)),
        ("tracing paper", Finish.diffuser(0.3, 0.6)),
    ],
)
def test_a_board_is_what_its_name_says(board: float | str, finish: Finish) -> None:
    assert board_finish(board) == finish


def test_changing_a_returned_table_changes_nothing_for_others() -> None:
    named_boards().clear()
    named_finishes().clear()
    assert named_boards()["grey card"].reflectance == 0.18
    assert named_finishes()["matt"].gloss_units == 5
